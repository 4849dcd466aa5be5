/** Completion by the Tab key: `completion` prints the script that a shell loads; the script asks the hidden command `complete`. */
import { Argument, type Command } from 'commander';
import { ruleCodes } from '../findings/rule-of.js';
import { action, type CliDeps, type CommonOptions, EXIT } from './common.js';
import { defineCommand } from './define-command.js';
import { type Choices, suggest } from './suggest.js';

const SHELLS = ['bash', 'zsh', 'fish', 'powershell'] as const;
type Shell = (typeof SHELLS)[number];

const EXAMPLES = `
Examples:
  matchmark completion bash > ~/.local/share/bash-completion/completions/matchmark
  matchmark completion zsh > ~/.zfunc/_matchmark
  matchmark completion fish > ~/.config/fish/completions/matchmark.fish
  matchmark completion powershell >> $PROFILE

Wants matchmark on the path (npm link). bash wants the package bash-completion; zsh a folder of its fpath.
`;

/** What follows the last line of an answer: 4 means that no file can stand there, 0 that one can (directives of @bomb.sh/tab). */
const DIRECTIVE = { words: 4, files: 0 } as const;

const registerShown = defineCommand({
  name: 'completion',
  summary: 'a script for your shell that completes commands and options',
  description: 'Prints what makes the Tab key complete commands, options and finding codes.',
  examples: EXAMPLES,
  shape: (command) => command.addArgument(new Argument('<shell>', 'your shell').choices(SHELLS)),
  work: async (deps, shell: Shell, options: CommonOptions) => {
    const script = await scriptFor(shell);
    deps.stdout.document(options.json === true ? `${JSON.stringify({ shell, script }, null, 1)}\n` : script);
    return EXIT.clean;
  },
});

export function registerCompletion(
  program: Command,
  deps: CliDeps,
  setStatus: (status: number) => void,
): void {
  registerShown(program, deps, setStatus);
  program
    .command('complete', { hidden: true })
    .argument('[words...]')
    .action(
      action(deps, setStatus, async (words: readonly string[]) => {
        const choices: Choices = {
          '--stage': ['power-on', 'configured'],
          '--as': ['html', 'csv', 'text'],
          explain: ruleCodes(),
          completion: SHELLS,
        };
        const fitting = suggest(program, words, choices);
        const lines = fitting.map(({ value, means }) => `${value}\t${means}`);
        lines.push(`:${fitting.length > 0 ? DIRECTIVE.words : DIRECTIVE.files}`);
        deps.stdout.document(`${lines.join('\n')}\n`);
        return EXIT.clean;
      }),
    );
}

/** Nearly every argument is a file, which the script for bash would not complete; npm links PowerShell a `matchmark.cmd` (README). */
const ADDED: Partial<Record<Shell, string>> = {
  bash: 'complete -o bashdefault -o default -F __matchmark_complete matchmark\n',
  powershell:
    "Register-ArgumentCompleter -CommandName 'matchmark.cmd' -ScriptBlock $__matchmarkCompleterBlock\n",
};

async function scriptFor(shell: Shell): Promise<string> {
  const { script } = await import('@bomb.sh/tab');
  const lines: string[] = [];
  // The library gives no text, it prints.
  const print = console.log;
  console.log = (text: unknown) => lines.push(String(text));
  try {
    script(shell, 'matchmark', shell === 'powershell' ? 'matchmark.cmd' : 'matchmark');
  } finally {
    console.log = print;
  }
  return `${lines.join('\n').trimEnd()}\n${ADDED[shell] ?? ''}`;
}
