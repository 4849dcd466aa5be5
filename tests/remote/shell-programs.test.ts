import { spawn } from 'node:child_process';
import { afterEach, describe, expect, it } from 'vitest';
import { linesOf } from '../../src/remote/lines.js';
import type { Session } from '../../src/remote/session.js';
import { quoted, type ShellPrograms, shellPrograms } from '../../src/remote/shell-programs.js';

const NONCE = 'abc123';
const open: ShellPrograms[] = [];
afterEach(() => {
  for (const one of open.splice(0)) one.close();
});

/** A real POSIX shell, as ssh would give it. */
function realShell(): ShellPrograms {
  const child = spawn('/bin/sh', [], { stdio: ['pipe', 'pipe', 'ignore'] });
  const lines = linesOf(child.stdout, { lineBytes: 1_000_000, totalBytes: 10_000_000 });
  const session: Session = {
    greeted: { kind: 'shell' },
    next: async () => {
      const { value, done } = await lines.next();
      return done === true ? { trouble: 'ended' } : value;
    },
    write: (text) => {
      child.stdin.write(text);
    },
    end: () => {
      child.kill('SIGKILL');
    },
  };
  const programs = shellPrograms(session, NONCE);
  open.push(programs);
  return programs;
}

describe.skipIf(process.platform === 'win32')('programs of a shell elsewhere', () => {
  it('run beside one another, each with its own output and exit status', async () => {
    const programs = realShell();
    const results = await Promise.all(
      Array.from({ length: 20 }, (_, index) =>
        programs.run('sh', [
          '-c',
          `i=0; while [ $i -lt 50 ]; do echo job ${index} $i; i=$((i+1)); done; exit ${index}`,
        ]),
      ),
    );
    results.forEach((result, index) => {
      const lines = Array.from({ length: 50 }, (_, line) => `job ${index} ${line}\n`).join('');
      expect(result).toMatchObject({ ran: true, exitCode: index, stdout: lines });
    });
  });

  it('keep long lines whole, and blanks at their edges', async () => {
    const long = `  ${'x'.repeat(5000)}  y`;
    expect(await realShell().run('printf', ['%s\\n', long])).toMatchObject({ stdout: `${long}\n` });
  });

  it('take any argument for what it is', async () => {
    const nasty = ["a'b", '$(id)', '`id`', '; exit 3', '"', '\\', '-n', '*'];
    expect(await realShell().run('printf', ['%s\\n', ...nasty])).toMatchObject({
      stdout: nasty.map((one) => `${one}\n`).join(''),
    });
    expect(quoted("a'b")).toBe("'a'\\''b'");
  });

  it('that are absent are told as such, and a line break in an argument is not sent', async () => {
    const programs = realShell();
    expect(await programs.run('no-such-program', [])).toMatchObject({ ran: false, why: 'not-found' });
    expect(await programs.run('echo', ['a\nm 1 reboot'])).toMatchObject({ ran: false, why: 'failed' });
  });

  it('end with the connection, and each in its time', async () => {
    const programs = realShell();
    expect(await programs.run('sleep', ['20'], { timeoutMs: 100 })).toMatchObject({ timedOut: true });
    const hanging = programs.run('sleep', ['20']);
    programs.close();
    expect(await hanging).toMatchObject({ ran: false, why: 'failed' });
    expect(await programs.broken).toEqual({ trouble: 'ended' });
  });
});
