/**
 * Answers of a walk, on the disk one by one before they are recorded: what ends the terminal, the process or the power loses none. The
 * next `attest` on the run records what a walk left. One file a walk, so that two walks do not meet.
 */
import { randomBytes } from 'node:crypto';
import { readdir, rm } from 'node:fs/promises';
import path from 'node:path';
import { isAlive } from '../files/alive.js';
import { type Journal, journalLines, openJournal } from '../files/journal.js';
import { attestationSchema } from '../sighting/evidence.js';
import type { Attestation } from '../sighting/types.js';
import { readOrdinaryFile } from '../system/ordinary-file.js';
import { prepareFolder } from './files.js';

const NAME = /^\.matchmark-said-(\d+)-[0-9a-f]{16}$/;

/** An answer is a few hundred; nobody gives more than some thousands of them. */
const LARGEST_ANSWERS_BYTES = 16 * 1024 * 1024;

export function isKeptAnswers(name: string): boolean {
  return NAME.test(name);
}

export interface KeptAnswers {
  /** On the disk when it resolves. Where that cannot be (a full disk), `fault` says why. */
  keep(answer: Attestation): Promise<void>;
  fault(): unknown;
  /** They stand in the result. */
  forget(): Promise<void>;
}

/** `run`: id of the run that the answers are about. Nothing is made before the first answer. */
export function keptAnswers(folder: string, run: string): KeptAnswers {
  const file = path.join(folder, `.matchmark-said-${process.pid}-${randomBytes(8).toString('hex')}`);
  let journal: Journal | undefined;
  let fault: unknown;
  return {
    async keep(answer) {
      try {
        await prepareFolder(folder);
        journal ??= openJournal(file, 'begin', () => performance.now());
        journal.append({ run, answer });
        journal.sync();
      } catch (error) {
        fault ??= error;
      }
    },
    fault: () => fault ?? journal?.fault(),
    async forget() {
      journal?.close();
      await rm(file, { force: true });
    },
  };
}

export interface LeftAnswers {
  /** The last of each thing that was looked at. */
  readonly answers: readonly Attestation[];
  forget(): Promise<void>;
}

/** What walks that are over left of this run; of another run they stay where they are. */
export async function leftAnswers(folder: string, run?: string): Promise<LeftAnswers> {
  const names = await readdir(folder).catch((): string[] => []);
  const files: string[] = [];
  const last = new Map<string, Attestation>();
  for (const name of names.sort()) {
    const pid = Number(NAME.exec(name)?.[1] ?? 0);
    if (pid === 0 || isAlive(pid)) continue;
    const file = path.join(folder, name);
    const answers = answersIn(await readOrdinaryFile(file, LARGEST_ANSWERS_BYTES).catch(() => ''), run);
    if (answers.length > 0) files.push(file);
    for (const answer of answers) last.set(JSON.stringify([answer.subject, answer.item]), answer);
  }
  return {
    answers: [...last.values()],
    forget: async () => {
      for (const file of files) await rm(file, { force: true });
    },
  };
}

function answersIn(text: string, run: string | undefined): Attestation[] {
  return journalLines(text).values.flatMap((line) => {
    if (typeof line !== 'object' || line === null) return [];
    const { run: of, answer } = line as { readonly run?: unknown; readonly answer?: unknown };
    const read = attestationSchema.safeParse(answer);
    return read.success && (run === undefined || of === run) ? [read.data] : [];
  });
}
