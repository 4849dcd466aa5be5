import { spawnSync } from 'node:child_process';
import { describe, expect, test } from 'vitest';
import { ruleCodes } from '../../src/findings/rule-of.js';
import { folderWith, run } from './run.js';

/** What `complete` answers: the values, and whether a file may stand there (directive 0 of @bomb.sh/tab; 4 where none may). */
async function answer(...words: string[]): Promise<{ values: string[]; file: boolean }> {
  const { status, out, err } = await run(['complete', '--', ...words]);
  expect({ status, err }).toEqual({ status: 0, err: '' });
  const lines = out.trimEnd().split('\n');
  return { values: lines.slice(0, -1).map((line) => line.split('\t')[0] ?? ''), file: lines.at(-1) === ':0' };
}

describe('what fits where the cursor stands', () => {
  test.each<[string[], string[]]>([
    [['comb'], ['combine']],
    [['comp'], ['compare', 'completion']],
    [['help', 'chec'], ['check']],
    [['--vers'], ['--version']],
    [['check', '--st'], ['--stage']],
    [
      ['check', 'plan.yaml', '--stage', ''],
      ['power-on', 'configured'],
    ],
    [['check', '--stage=p'], ['--stage=power-on']],
    [['report', 'run-1', '--as', 'c'], ['csv']],
    [['explain', 'portal-'], ruleCodes().filter((code) => code.startsWith('portal-'))],
    [['completion', 'b'], ['bash']],
  ])('%j', async (words, values) => {
    const { values: found, file } = await answer(...words);
    expect([...found].sort()).toEqual([...values].sort());
    expect(file).toBe(false);
  });

  test.each([[['check', '']], [['check', 'pl']], [['check', 'plan.yaml', '--out', '']], [['nosuch', '']]])(
    'a file: %j',
    async (words) => expect(await answer(...words)).toEqual({ values: [], file: true }),
  );

  test('every command is offered once, the hidden one never; each with what it does', async () => {
    const { out } = await run(['complete', '--', '']);
    const lines = out.trimEnd().split('\n').slice(0, -1);
    const names = lines.map((line) => line.split('\t')[0] ?? '');
    expect(new Set(names).size).toBe(names.length);
    expect(names).toContain('check');
    expect(names).not.toContain('complete');
    for (const line of lines) expect(line).toMatch(/^[a-z]+\t\S/);
  });
});

describe('the script', () => {
  test.each(['bash', 'zsh', 'fish', 'powershell'])('for %s asks the hidden command', async (shell) => {
    const { status, out, err } = await run(['completion', shell]);
    expect({ status, err }).toEqual({ status: 0, err: '' });
    expect(out).toMatch(/matchmark(?:\.cmd)? complete '?--/);
    const json = JSON.parse((await run(['completion', shell, '--json'])).out) as { script: string };
    expect(json.script).toBe(out);
  });

  test('for PowerShell, which npm links as matchmark.cmd, serves that name too', async () => {
    const { out } = await run(['completion', 'powershell']);
    expect(out).toContain('[scriptblock]$__matchmarkCompleterBlock =');
    expect(out).toContain("-CommandName 'matchmark.cmd' -ScriptBlock $__matchmarkCompleterBlock");
  });

  test('of a shell that is none: 2', async () => {
    const { status, err } = await run(['completion', 'csh']);
    expect(status).toBe(2);
    expect(err).toContain('bash, zsh, fish, powershell');
  });

  // GNU bash on the script itself; the helper that finds the words is that of the package bash-completion, here given by hand.
  test.skipIf(spawnSync('bash', ['--version']).status !== 0)(
    'bash completes an option, and leaves files to itself',
    async () => {
      const { out: script } = await run(['completion', 'bash']);
      const { out: options } = await run(['complete', '--', 'check', '--st']);
      const folder = folderWith({ 'load.sh': script, 'answer.txt': options, 'plan.yaml': '' });
      const bash = spawnSync('bash', ['--norc', '-c', SESSION], { cwd: folder, encoding: 'utf8' });
      expect(bash.stderr).toBe('');
      expect(bash.stdout).toBe(
        '--stage\ncomplete -o bashdefault -o default -F __matchmark_complete matchmark\n',
      );
    },
  );
});

const SESSION = `
. ./load.sh
matchmark() { cat answer.txt; }
compopt() { :; }
_get_comp_words_by_ref() { cur=--st prev=check words=(matchmark check --st) cword=2; }
__matchmark_complete
printf '%s\\n' "\${COMPREPLY[@]}"
complete -p matchmark
`;
