/**
 * Programs run by the POSIX shell of another place: each call is one line to it, and comes back line by line under its number. Jobs run
 * beside one another there; pieces of a line are short enough to be written in one go (POSIX, write() to a pipe: PIPE_BUF is 512 or more).
 */
import type { ProgramResult, Programs } from '../system/program-types.js';
import type { Session } from './session.js';
import { failureOfShell } from './shell-failure.js';
import type { PlaceTrouble } from './trouble.js';

export interface ShellPrograms extends Programs {
  /** Resolves once the connection is of no more use. */
  readonly broken: Promise<PlaceTrouble>;
  close(): void;
}

/** Octets of a piece; with the nonce and the number it stays below 512. */
const PIECE = 400;
/** A shell with nothing to do says nothing: it is asked for a word this often, in milliseconds. */
const WORD_EVERY_MS = 5_000;
/** What one program may print, in characters. */
const LARGEST_OUTPUT = 4 * 1024 * 1024;
/** Lines that are none of ours, until it counts as garbage. */
const STRAY_LINES = 50;
const DEFAULT_TIMEOUT_MS = 60_000;

/**
 * `m NUMBER COMMAND...` runs a command beside the others. Each line of its output ends in the nonce, so that a line that had to be cut in
 * pieces is put together again; `=` begins the line with its exit status.
 */
function prelude(nonce: string): string {
  return `n=${nonce}
m() { i=$1; shift; { o=$("$@" 2>&1 </dev/null); r=$?; printf '%s\\n' "$o" | sed "s/\\$/~$n/" | fold -b -w ${PIECE} | while IFS= read -r l; do printf '%s %s :%s\\n' "$n" "$i" "$l"; done; printf '%s %s =%s\\n' "$n" "$i" "$r"; } & }
`;
}

/** One argument of a POSIX shell, whatever stands in it (XCU 2.2.2). */
export function quoted(text: string): string {
  return `'${text.replaceAll("'", `'\\''`)}'`;
}

interface Job {
  text: string;
  readonly end: (exitCode: number) => void;
}

export function shellPrograms(session: Session, nonce: string): ShellPrograms {
  const jobs = new Map<number, Job>();
  let last = 0;
  let failed: PlaceTrouble | undefined;
  let tellBroken: (trouble: PlaceTrouble) => void = () => {};
  const broken = new Promise<PlaceTrouble>((resolve) => {
    tellBroken = resolve;
  });
  const fail = (trouble: PlaceTrouble): void => {
    failed ??= trouble;
    clearInterval(word);
    session.end();
    tellBroken(failed);
  };
  const word = setInterval(() => session.write('m 0 :\n'), WORD_EVERY_MS);
  session.write(prelude(nonce));
  void (async () => {
    let stray = 0;
    const form = new RegExp(`^${nonce} (\\d{1,9}) ([:=])(.*)$`);
    for (;;) {
      const line = await session.next();
      if (typeof line !== 'string') return fail(line);
      const [, number, kind, rest = ''] = form.exec(line) ?? [];
      if (number === undefined) {
        stray += 1;
        if (stray > STRAY_LINES) return fail({ trouble: 'garbage' });
        continue;
      }
      const job = jobs.get(Number(number));
      if (job === undefined) continue;
      if (kind === '=') job.end(Number(rest));
      else if (job.text.length < LARGEST_OUTPUT) job.text += rest;
    }
  })();

  const run: Programs['run'] = (command, args, { signal, timeoutMs = DEFAULT_TIMEOUT_MS } = {}) => {
    const words = [command, ...args];
    if (failed !== undefined || signal?.aborted || words.some((one) => /[\n\r\0]/.test(one)))
      return Promise.resolve({ ran: false, why: 'failed', detail: failed?.trouble ?? 'interrupted' });
    last += 1;
    const number = last;
    return new Promise<ProgramResult>((resolve) => {
      const settle = (result: ProgramResult): void => {
        clearTimeout(timer);
        signal?.removeEventListener('abort', onAbort);
        jobs.delete(number);
        resolve(result);
      };
      const job: Job = {
        text: '',
        end: (exitCode) => {
          const stdout = job.text.split(`~${nonce}`).join('\n').replace(/\n+$/, '\n');
          settle(
            failureOfShell(exitCode, stdout) ?? { ran: true, exitCode, stdout, stderr: '', timedOut: false },
          );
        },
      };
      const onAbort = (): void => settle({ ran: false, why: 'failed', detail: 'interrupted' });
      const timer = setTimeout(
        () => settle({ ran: true, exitCode: undefined, stdout: '', stderr: '', timedOut: true }),
        timeoutMs,
      );
      signal?.addEventListener('abort', onAbort, { once: true });
      void broken.then(({ trouble }) => settle({ ran: false, why: 'failed', detail: trouble }));
      jobs.set(number, job);
      session.write(`m ${number} ${words.map(quoted).join(' ')}\n`);
    });
  };
  return {
    run,
    start: () => ({
      ran: false,
      why: 'failed',
      detail: 'a shell elsewhere runs programs to their end alone',
    }),
    broken,
    close: () => fail({ trouble: 'ended' }),
  };
}
