/** The journal of a check: how the run was begun, then what was settled, as it came. It goes when the run is whole and written. */
import { rm } from 'node:fs/promises';
import path from 'node:path';
import { z } from 'zod';
import { MatchmarkError } from '../errors.js';
import {
  JOURNAL_NAME,
  type Journal,
  journalLines,
  LARGEST_JOURNAL_BYTES,
  openJournal,
} from '../files/journal.js';
import { reasonOf, whyNotWritten } from '../files/reason.js';
import { writeChunks } from '../files/whole.js';
import { surveySchema } from '../matrix/survey-schema.js';
import { type Entry, entrySchema, settled } from '../run/journal-entry.js';
import type { CheckRequest } from '../run/run.js';
import { readOrdinaryFile } from '../system/ordinary-file.js';
import { cleanText } from '../text/clean.js';

/** Characters of one entry: the largest is twice what is kept of one device's tables (sighting/ceilings.ts). The first line may hold a survey. */
const LONGEST_ENTRY = 4 * 1024 * 1024;

const headSchema = z.object({
  format: z.literal('matchmark.journal/1'),
  runId: z.string(),
  startedAt: z.string(),
  stage: z.enum(['power-on', 'configured']),
  only: z.array(z.string()).readonly().optional(),
  vantageName: z.string().optional(),
  /** The places that it looked from beside the laptop (`ssh://...`): they are looked from anew when it is gone on with. */
  from: z.array(z.string()).readonly().optional(),
  /** The laptop itself did not look. */
  onlyFrom: z.boolean().optional(),
  /** Where the plan was, so that the run can be gone on with without naming it. */
  planFile: z.string(),
  files: z.array(z.object({ name: z.string(), sha256: z.string() }).readonly()).readonly(),
  survey: surveySchema.optional(),
});
export type JournalHead = Readonly<z.infer<typeof headSchema>>;

/** What is said of a run before anything is asked. */
export function journalHead(
  request: Pick<CheckRequest, 'plan' | 'stage' | 'only' | 'vantageName' | 'survey' | 'runId' | 'here'>,
  { planFile, from, startedAt }: Pick<JournalHead, 'planFile' | 'from' | 'startedAt'>,
): JournalHead {
  const { plan, stage, only, vantageName, survey, runId, here } = request;
  return {
    format: 'matchmark.journal/1',
    runId,
    startedAt,
    stage,
    only,
    vantageName,
    from,
    ...(here === false ? { onlyFrom: true } : {}),
    planFile,
    files: plan.files,
    survey,
  };
}

export interface ReadJournal {
  readonly head: JournalHead;
  readonly entries: readonly Entry[];
}

/** Undefined where there is none, or where the run ended before its first line was whole. */
export async function readRunJournal(folder: string): Promise<ReadJournal | undefined> {
  const file = path.join(folder, JOURNAL_NAME);
  let text: string;
  try {
    text = await readOrdinaryFile(file, LARGEST_JOURNAL_BYTES);
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    throw damaged(file, reasonOf(error));
  }
  const long = entryLongerThan(text, LONGEST_ENTRY);
  if (long !== undefined) throw damaged(file, `line ${long} is longer than any that a run writes`);
  const { values, damaged: line } = journalLines(text);
  if (line !== undefined) throw damaged(file, `line ${line} cannot be read, and others after it can`);
  const [first, ...rest] = values;
  if (first === undefined) return undefined;
  const head = headSchema.safeParse(first);
  if (!head.success) throw damaged(file, `its first line does not say what run it is`);
  const entries = rest.map((value, index): Entry => {
    const entry = entrySchema.safeParse(value);
    if (entry.success) return entry.data;
    const [issue] = entry.error.issues;
    const where = [`entry ${index + 1}`, ...(issue?.path.length ? [issue.path.join('.')] : [])].join(', ');
    throw damaged(file, cleanText(`${where}: ${issue?.message}`));
  });
  return { head: head.data, entries: settled(entries) };
}

/** Number of the line, from 1. */
function entryLongerThan(text: string, most: number): number | undefined {
  let line = 1;
  for (let at = 0; at < text.length; line += 1) {
    const end = text.indexOf('\n', at);
    const next = end === -1 ? text.length : end;
    if (line > 1 && next - at > most) return line;
    at = next + 1;
  }
  return undefined;
}

function damaged(file: string, why: string): MatchmarkError {
  return new MatchmarkError('result-invalid', `${file} is damaged: ${why}; nothing was probed`, {
    next: 'Run the check anew into another folder; what stands in matrix.json stays.',
  });
}

/** Begins with what was settled before. That of this folder stays whole until the one that goes on with it (`goOn`) stands in its place. */
export async function writeRunJournal(
  folder: string,
  head: JournalHead,
  earlier: readonly Entry[],
  goOn: boolean,
): Promise<Journal> {
  const file = path.join(folder, JOURNAL_NAME);
  const lines = [head, ...earlier];
  let journal: Journal;
  try {
    // On a full disk it is gone on with as it is.
    if (goOn) await writeChunks(file, lineByLine(lines)).catch(() => {});
    journal = openJournal(file, goOn ? 'go-on' : 'begin', () => performance.now());
  } catch (error) {
    throw new MatchmarkError('usage', `cannot write ${file}: ${whyNotWritten(error)}`, {
      cause: error,
      next: 'Name another folder with --out DIR.',
    });
  }
  if (!goOn) for (const value of lines) journal.append(value);
  journal.sync();
  return journal;
}

function* lineByLine(values: readonly unknown[]): Generator<string> {
  for (const value of values) yield `${JSON.stringify(value)}\n`;
}

export async function removeRunJournal(folder: string): Promise<void> {
  await rm(path.join(folder, JOURNAL_NAME), { force: true }).catch(() => {});
}
