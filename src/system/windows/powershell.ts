/** One PowerShell for the whole run, asked by lines: it needs a second or more to start on a cold laptop, and then milliseconds. */
import type { ProgramStream, Programs } from '../program-types.js';
import { decodeConsole } from './console-text.js';

export type PowershellAnswer =
  | { readonly ok: true; readonly text: string }
  | { readonly ok: false; readonly reason: string };

export interface Powershell {
  /** One line of read-only cmdlets. Never rejects. After a failure of PowerShell itself, every further question fails at once. */
  ask(line: string): Promise<PowershellAnswer>;
}

/** `-Command -` runs what comes by lines; the execution policy is for script files and so plays no part. */
const ARGUMENTS = ['-NoLogo', '-NoProfile', '-NonInteractive', '-Command', '-'];
/**
 * Without this, names with letters beyond ASCII come in the console's code page. Constrained language mode forbids it and lets the
 * cmdlets through (from memory), so a refusal counts for nothing.
 */
const UTF8 = 'try{[Console]::OutputEncoding=[Text.Encoding]::UTF8}catch{}';
/** The first answer waits for the start and for the modules to load. */
const FIRST_MS = 25_000;
const ANSWER_MS = 10_000;
/** Largest answer kept, in bytes: some thousand neighbours. */
const LIMIT = 8 * 1024 * 1024;

export function openPowershell(programs: Programs): Powershell {
  let state: { readonly session: Session } | { readonly reason: string } | undefined;
  let last: Promise<unknown> = Promise.resolve();
  const ask = async (line: string): Promise<PowershellAnswer> => {
    state ??= begin(programs);
    if ('reason' in state) return { ok: false, reason: state.reason };
    const answer = await state.session.ask(line);
    if (answer.ok || !answer.over) return answer;
    state = { reason: answer.reason };
    return { ok: false, reason: answer.reason };
  };
  return {
    ask: (line) => {
      const answer = last.then(() => ask(line));
      last = answer;
      return answer;
    },
  };
}

type SessionAnswer = PowershellAnswer & { readonly over?: boolean };

interface Session {
  ask(line: string): Promise<SessionAnswer>;
}

function begin(programs: Programs): { readonly session: Session } | { readonly reason: string } {
  const stream = programs.start('powershell.exe', ARGUMENTS, { input: true });
  if ('ran' in stream)
    return {
      reason:
        !stream.ran && stream.why === 'not-found'
          ? 'PowerShell is not installed'
          : 'PowerShell may not be run here',
    };
  stream.hold?.(false);
  stream.write?.(`${UTF8}\n`);
  return { session: sessionOver(stream) };
}

/** Marks around each answer: whatever else PowerShell prints is passed over. */
const mark = (id: number, end: 'begin' | 'end'): string => `matchmark-${end}-${id}`;

function sessionOver(stream: ProgramStream): Session {
  let kept = Buffer.alloc(0);
  let waiting: { readonly id: number; readonly settle: (answer: SessionAnswer) => void } | undefined;
  let asked = 0;
  let ended: string | undefined;
  const over = (reason: string): void => {
    waiting?.settle({ ok: false, reason, over: true });
    waiting = undefined;
  };
  const take = (chunk: Uint8Array): void => {
    kept = Buffer.concat([kept, chunk]);
    if (waiting === undefined) {
      kept = Buffer.alloc(0);
      return;
    }
    const text = answerIn(kept, waiting.id);
    if (text !== undefined) {
      kept = Buffer.alloc(0);
      waiting.settle({ ok: true, text });
      waiting = undefined;
    } else if (kept.length > LIMIT) {
      stream.stop();
      over('PowerShell wrote without end');
    }
  };
  void (async () => {
    for await (const chunk of stream.stdout) take(chunk);
    const code = await stream.ended;
    ended =
      code === 0 ? 'PowerShell ended without an answer' : `PowerShell ended with status ${code ?? 'unknown'}`;
    over(ended);
  })();
  return {
    ask: (line) =>
      new Promise((resolve) => {
        if (ended !== undefined) {
          resolve({ ok: false, reason: ended, over: true });
          return;
        }
        asked += 1;
        const id = asked;
        const timer = setTimeout(
          () => {
            stream.stop();
            over('PowerShell did not answer in time');
          },
          id === 1 ? FIRST_MS : ANSWER_MS,
        );
        waiting = {
          id,
          settle: (answer) => {
            clearTimeout(timer);
            stream.hold?.(false);
            resolve(answer);
          },
        };
        stream.hold?.(true);
        stream.write?.(`'${mark(id, 'begin')}';try{${line}}catch{};'${mark(id, 'end')}'\n`);
      }),
  };
}

/** What stands between the two marks of a question, once both are there. They stand alone in their lines, so an echo of the question is none. */
function answerIn(bytes: Buffer, id: number): string | undefined {
  if (!bytes.includes(mark(id, 'end'))) return undefined;
  const lines = decodeConsole(bytes).split(/\r?\n/);
  const first = lines.findIndex((line) => line.replace(/^\ufeff/, '').trim() === mark(id, 'begin'));
  const last = lines.findIndex((line) => line.trim() === mark(id, 'end'));
  return last < 0 ? undefined : lines.slice(first + 1, last).join('\n');
}
