/** A file that only grows, one JSON value a line: what is in it survives whatever ends the process. */
import { closeSync, constants, fstatSync, fsyncSync, openSync, writeSync } from 'node:fs';

/** In the folder of its run, out of sight. */
export const JOURNAL_NAME = '.matchmark-journal';

export interface Journal {
  /** Written before it returns, so that the end of the process loses nothing. Never throws: see `fault`. */
  append(value: unknown): void;
  /** To the disk, so that the end of the power loses nothing either. */
  sync(): void;
  close(): void;
  /** Why nothing more could be written, undefined where all was. */
  fault(): unknown;
}

/** Octets. More is neither written nor read: the journal of some four thousand endpoints is a tenth of it, and where all lie a half. */
export const LARGEST_JOURNAL_BYTES = 128 * 1024 * 1024;

/** What a power cut may cost: this many lines, or what came in this time. */
const SYNC_LINES = 64;
const SYNC_MS = 500;
const NO_LINK = constants.O_NOFOLLOW ?? 0;

/** Begins anew, or goes on behind what is there. Throws the system's error where the file cannot be opened. */
export function openJournal(
  file: string,
  how: 'begin' | 'go-on',
  now: () => number,
  mostBytes = LARGEST_JOURNAL_BYTES,
): Journal {
  const mode = how === 'begin' ? constants.O_TRUNC : constants.O_APPEND;
  let descriptor: number | undefined = openSync(
    file,
    constants.O_WRONLY | constants.O_CREAT | mode | NO_LINK,
    0o600,
  );
  let fault: unknown;
  let length = fstatSync(descriptor).size;
  let unsynced = 0;
  let syncedAt = now();
  const guarded = (work: (descriptor: number) => void): void => {
    if (descriptor === undefined || fault !== undefined) return;
    try {
      work(descriptor);
    } catch (error) {
      // A full disk ends the journal, not the run.
      fault = error;
    }
  };
  const sync = (): void =>
    guarded((open) => {
      if (unsynced > 0) fsyncSync(open);
      unsynced = 0;
      syncedAt = now();
    });
  // A line that was cut off half is ended, so that the next begins on its own.
  if (how === 'go-on') guarded((open) => writeSync(open, '\n'));
  return {
    append(value) {
      guarded((open) => {
        const bytes = Buffer.from(`${JSON.stringify(value)}\n`);
        length += bytes.length;
        if (length > mostBytes) throw new Error(`it may hold ${mostBytes} octets, and it is full`);
        for (let at = 0; at < bytes.length; ) at += writeSync(open, bytes, at);
        unsynced += 1;
      });
      if (unsynced >= SYNC_LINES || now() - syncedAt > SYNC_MS) sync();
    },
    sync,
    close() {
      sync();
      if (descriptor !== undefined) closeSync(descriptor);
      descriptor = undefined;
    },
    fault: () => fault,
  };
}

/**
 * The values of a journal. What is cut off at the end is left out: that is what a power cut does. `damaged` is the line (from 1) that
 * cannot be read although others after it can: then the file was changed by something else.
 */
export function journalLines(text: string): {
  readonly values: readonly unknown[];
  readonly damaged?: number;
} {
  const values: unknown[] = [];
  let bad: number | undefined;
  for (const [index, line] of text.split('\n').entries()) {
    if (line.trim() === '') continue;
    try {
      values.push(JSON.parse(line));
      if (bad !== undefined) return { values, damaged: bad };
    } catch {
      bad ??= index + 1;
    }
  }
  return { values };
}
