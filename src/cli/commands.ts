/**
 * Every command by its line of the help, and where the rest of it stands. A command's module is loaded once its name is typed: all of
 * them together take eight times as long to load as Node itself.
 */
import type { Command } from 'commander';
import { forASiteOf } from '../system/short-run.js';
import { type CliDeps, withCommonOptions } from './common.js';

/** Adds one command to the program. `setStatus` takes the exit status. */
export type Register = (program: Command, deps: CliDeps, setStatus: (status: number) => void) => void;

export interface CommandLine {
  readonly name: string;
  /** What its help says of arguments: `<plan>`, `[dir]`. Empty: none. A test holds it and the summary to the command itself. */
  readonly operands: string;
  readonly summary: string;
  readonly load: () => Promise<Register>;
}

/** In the order of a visit, which is the order of the help. */
export const COMMANDS: readonly CommandLine[] = [
  {
    name: 'draft',
    operands: '<equipment>',
    summary: 'an equipment list: how many addresses it needs, and an address list with them',
    load: async () => (await import('./draft.js')).registerDraft,
  },
  {
    name: 'review',
    operands: '<plan>',
    summary: 'the plan alone, offline: what is wrong before anyone drives to the site',
    load: async () => (await import('./review.js')).registerReview,
  },
  {
    name: 'kit',
    operands: '',
    summary: 'what this laptop can do, and what each gap costs',
    load: async () => (await import('./kit.js')).registerKit,
  },
  {
    name: 'survey',
    operands: '<plan>',
    summary: 'before power-on: who already answers on planned and default addresses',
    load: async () => (await import('./survey.js')).registerSurvey,
  },
  {
    name: 'follow',
    operands: '<plan>',
    summary: 'live while cabling: the matrix, refreshed, and what just changed',
    load: async () => (await import('./follow.js')).registerFollow,
  },
  {
    name: 'check',
    operands: '[plan]',
    summary: 'the main job: probe, compare, write matrix.json and matrix.html',
    load: async () => {
      forASiteOf(undefined);
      return (await import('./check.js')).registerCheck;
    },
  },
  {
    name: 'drill',
    operands: '<plan>',
    summary: 'guided pull test: what survives the loss of one thing, timed',
    load: async () => (await import('./drill.js')).registerDrill,
  },
  {
    name: 'attest',
    operands: '<run>',
    summary: 'record what eyes saw, and by whom',
    load: async () => (await import('./attest.js')).registerAttest,
  },
  {
    name: 'combine',
    operands: '<run...>',
    summary: 'several vantages into one matrix',
    load: async () => (await import('./combine.js')).registerCombine,
  },
  {
    name: 'compare',
    operands: '<old> <new>',
    summary: 'what changed between two runs',
    load: async () => (await import('./compare.js')).registerCompare,
  },
  {
    name: 'report',
    operands: '<run>',
    summary: 'render HTML, CSV or text from a result, without probing',
    load: async () => (await import('./report.js')).registerReport,
  },
  {
    name: 'seal',
    operands: '[dir]',
    summary: 'write digests of a handover folder, optionally signed',
    load: async () => (await import('./seal.js')).registerSeal,
  },
  {
    name: 'verify',
    operands: '<dir>',
    summary: 'show that a sealed handover folder is whole',
    load: async () => (await import('./verify.js')).registerVerify,
  },
  {
    name: 'explain',
    operands: '[code]',
    summary: 'what a finding code means, why it matters and what to do',
    load: async () => (await import('./explain.js')).registerExplain,
  },
  {
    name: 'demo',
    operands: '',
    summary: 'the main job on an embedded site with planted faults, on loopback',
    load: async () => (await import('./demo.js')).registerDemo,
  },
  {
    name: 'completion',
    operands: '<shell>',
    summary: 'a script for your shell that completes commands and options',
    load: async () => (await import('./completion.js')).registerCompletion,
  },
];

/** The hidden command that a shell's completion asks, and which knows every option of all the others. */
const ASKS_FOR_ALL = 'complete';

/** Whether a command would be loaded for this command line. */
export function asksForCommand(argv: readonly string[]): boolean {
  return argv[0] === ASKS_FOR_ALL || COMMANDS.some(({ name }) => argv.includes(name));
}

/** Adds all commands: those whose name stands in `argv` whole, the others as their line of the help. */
export async function addCommands(
  program: Command,
  argv: readonly string[],
  deps: CliDeps,
  setStatus: (status: number) => void,
  lines: readonly CommandLine[] = COMMANDS,
): Promise<void> {
  const all = argv[0] === ASKS_FOR_ALL;
  for (const { name, operands, summary, load } of lines) {
    if (all || argv.includes(name)) (await load())(program, deps, setStatus);
    else withCommonOptions(program.command(`${name} ${operands}`.trimEnd()).summary(summary));
  }
}
