/** The folder of a run: made, cleared of what a killed run left, held against a second run, and not written over where work would be lost. */
import { lstat } from 'node:fs/promises';
import path from 'node:path';
import type { Command } from 'commander';
import { MatchmarkError } from '../errors.js';
import { clearLeftovers } from '../files/leftovers.js';
import { lockFolder } from '../files/lock.js';
import type { Evidence } from '../sighting/types.js';
import { count, list } from '../text/sentence.js';
import { leftAnswers } from './attest-kept.js';
import type { CliDeps } from './common.js';
import { prepareFolder } from './files.js';
import { openRun } from './run-input.js';

/** A seal of any form. */
const SEALS = ['SHA256SUMS', 'SHA256SUMS.sig', 'seal.json'];

export interface ReplaceOptions {
  readonly replace?: boolean;
}

export function withReplaceOption(command: Command): Command {
  return command.option('--replace', 'write over observations, pull tests or a seal that the folder holds');
}

/** Runs `work` while nobody else of ours writes there. `waitMs`: how long another may take to end. */
export async function inFolder<T>(
  folder: string,
  { waitMs = 0 }: { readonly waitMs?: number },
  work: () => Promise<T>,
): Promise<T> {
  await prepareFolder(folder);
  const unlock = await lockFolder(folder, waitMs);
  try {
    await clearLeftovers(folder, Date.now());
    return await work();
  } finally {
    await unlock();
  }
}

/** What eyes saw and what was pulled cost hours; a seal that no longer fits proves nothing. `kept`: carried on, and so not lost. */
export async function requireReplaceable(
  folder: string,
  { replace }: ReplaceOptions,
  deps: Pick<CliDeps, 'unguarded'>,
  kept: { readonly evidence: boolean } = { evidence: false },
): Promise<void> {
  if (replace === true) return;
  const lost = [
    ...(kept.evidence ? [] : [...(await workIn(folder, deps)), ...(await saidIn(folder))]),
    ...(await sealIn(folder)),
  ];
  if (lost.length === 0) return;
  throw new MatchmarkError('usage', `${folder} holds ${list(lost)}, which would be lost; nothing was done`, {
    next: 'Name another folder with --out DIR, or write over it with --replace.',
  });
}

async function workIn(folder: string, deps: Pick<CliDeps, 'unguarded'>): Promise<string[]> {
  if (!(await isThere(path.join(folder, 'matrix.json')))) return [];
  let evidence: readonly Evidence[];
  try {
    evidence = (await openRun(folder, { ...deps, cwd: folder })).matrix.evidence;
  } catch {
    return ['a matrix.json that cannot be read'];
  }
  const seen = evidence.flatMap(({ attestations }) => attestations).length;
  const pulled = evidence.flatMap(({ drills }) => drills).length;
  return [
    ...(seen === 0 ? [] : [count(seen, 'observation')]),
    ...(pulled === 0 ? [] : [count(pulled, 'pull test')]),
  ];
}

async function saidIn(folder: string): Promise<string[]> {
  const { answers } = await leftAnswers(folder);
  return answers.length === 0 ? [] : [`${count(answers.length, 'answer')} that attest has not recorded yet`];
}

async function sealIn(folder: string): Promise<string[]> {
  for (const name of SEALS) if (await isThere(path.join(folder, name))) return [`a seal (${name})`];
  return [];
}

function isThere(file: string): Promise<boolean> {
  return lstat(file).then(
    () => true,
    () => false,
  );
}
