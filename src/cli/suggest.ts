/** What fits where the cursor of a shell stands: the tree of commands and the words so far -> suggestions. Pure. */
import type { Command, Option } from 'commander';

export interface Suggestion {
  readonly value: string;
  readonly means: string;
}

/** Words that an option or argument takes, where there are few: option (`--stage`) or command (`explain`) -> words. */
export type Choices = Readonly<Record<string, readonly string[]>>;

/** The last of `words` is the one that is being typed, perhaps empty. No suggestion means that a file may stand there. */
export function suggest(program: Command, words: readonly string[], choices: Choices): readonly Suggestion[] {
  const typed = words.at(-1) ?? '';
  const before = words.slice(0, -1);
  const fitting = (all: readonly Suggestion[], start = typed): readonly Suggestion[] =>
    all.filter(({ value }) => value.startsWith(start));
  const command =
    before.length === 0 ? undefined : program.commands.find((each) => each.name() === before[0]);
  const options = optionsOf(command ?? program);

  const [option, value] = typed.split('=', 2);
  if (option !== undefined && value !== undefined)
    return fitting(wordsOf(choices, option), value).map((each) => ({
      ...each,
      value: `${option}=${each.value}`,
    }));
  const last = options.find(({ long, short }) => [long, short].includes(before.at(-1)));
  if (last !== undefined && takesValue(last)) return fitting(wordsOf(choices, last.long ?? ''));
  if (typed.startsWith('-'))
    return fitting(options.map(({ long, description }) => ({ value: long ?? '', means: description })));
  if (before.length === 0 || (before.length === 1 && before[0] === 'help'))
    return fitting(commandsOf(program));
  return command === undefined ? [] : fitting(wordsOf(choices, command.name()));
}

function commandsOf(program: Command): readonly Suggestion[] {
  return program
    .createHelp()
    .visibleCommands(program)
    .map((command) => ({ value: command.name(), means: command.summary() || command.description() }));
}

function optionsOf(command: Command): readonly Option[] {
  return command
    .createHelp()
    .visibleOptions(command)
    .filter(({ long }) => long !== undefined && long !== null);
}

function takesValue({ required, optional }: Option): boolean {
  return required || optional;
}

function wordsOf(choices: Choices, key: string): readonly Suggestion[] {
  return (Object.hasOwn(choices, key) ? (choices[key] ?? []) : []).map((value) => ({ value, means: '' }));
}
