/** What `follow` has in its folder while it goes on: the journal of the first look, then the latest look. */
import type { Matrix } from '../matrix/matrix.js';
import type { Entry } from '../run/journal-entry.js';
import { realSleep } from '../run/pace.js';
import { type CheckRequest, cutOffMatrix } from '../run/run.js';
import type { CliDeps } from './common.js';
import { reasonOf } from './files.js';
import { writeRun } from './finish-run.js';
import { keepLooks } from './kept-looks.js';
import { journalHead, removeRunJournal, writeRunJournal } from './run-journal.js';

export interface Files {
  readonly folder: string;
  readonly planFile: string;
}

export interface KeptSeen {
  readonly onEntry: (entry: Entry) => void;
  readonly look: (matrix: Matrix) => void;
  /** Where nothing was looked at in full: what was seen until then. */
  readonly cutOff: () => Matrix | undefined;
  readonly end: () => Promise<void>;
}

/** Nothing of what was seen is lost with the process. Throws MatchmarkError `usage` where the folder cannot be written into. */
export async function keepSeen(
  request: CheckRequest,
  from: readonly string[],
  { folder, planFile }: Files,
  deps: CliDeps,
): Promise<KeptSeen> {
  const head = journalHead(request, { planFile, from, startedAt: deps.date().toISOString() });
  const journal = await writeRunJournal(folder, head, [], false);
  let entries: Entry[] = [];
  let faultTold = false;
  const note = (error: unknown): void =>
    deps.stderr.write(`note: what was seen could not be written yet: ${reasonOf(error)}\n`);
  const kept = keepLooks<Matrix>({
    write: async (matrix) => {
      await writeRun(matrix, folder);
      journal.close();
      entries = [];
      await removeRunJournal(folder);
    },
    onFault: note,
    now: () => performance.now(),
    sleep: realSleep,
  });
  return {
    onEntry: (entry) => {
      entries.push(entry);
      journal.append(entry);
    },
    look: kept.look,
    cutOff: () => cutOffMatrix(request, entries, deps.date().toISOString()),
    end: async () => {
      await kept.end();
      journal.close();
      const fault = journal.fault();
      if (fault !== undefined && !faultTold) note(fault);
      faultTold ||= fault !== undefined;
    },
  };
}
