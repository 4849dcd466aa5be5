/** One connection to another place, as far as the shell or the Node that answers there. The one bound on silence is kept here. */
import { setTimeout as pause } from 'node:timers/promises';
import type { ProgramStream, Programs } from '../system/program-types.js';
import { type Greeted, greeting, LEAST_NODE, nodeCommand, readGreeting } from './greeting.js';
import { linesOf, TooMuch } from './lines.js';
import type { RemotePlace } from './place.js';
import { REMOTE_SHELL, sshArguments } from './ssh-command.js';
import { type PlaceTrouble, troubleOfSsh } from './trouble.js';

export interface Session {
  readonly greeted: Greeted;
  /** The next line, or why there is none. */
  next(): Promise<string | PlaceTrouble>;
  write(text: string): void;
  /** Ends the connection, and with it whatever was started there. */
  end(): void;
}

export interface SessionDeps {
  readonly programs: Programs;
  /** Letters and digits. */
  readonly nonce: string;
}

/** A login and the start of a shell may take so long; afterwards nobody is silent for longer. */
const SILENCE_MS = 25_000;
/** Connecting has ten seconds of its own (ssh-command.ts). */
const GREETING_MS = 20_000;
/** From the end of its output to its exit. */
const ENDING_MS = 3_000;
/** What a login prints before the shell starts. Lines. */
const CHATTER_LINES = 500;
/** One sighting is a few kilobytes, the tables of a switch some megabytes. */
const BOUNDS = { lineBytes: 16 * 1024 * 1024, totalBytes: 128 * 1024 * 1024 };

interface Silence {
  readonly greeting: number;
  readonly later: number;
}

/** By a POSIX shell; where none starts, by Node itself, in a second connection. */
export async function openSession(
  place: RemotePlace,
  deps: SessionDeps,
  signal: AbortSignal,
  silenceMs: Silence = { greeting: GREETING_MS, later: SILENCE_MS },
): Promise<Session | PlaceTrouble> {
  const { nonce } = deps;
  const shell = { command: REMOTE_SHELL, input: greeting(nonce) };
  const session = await connect(place, shell, deps, signal, silenceMs);
  if (!('trouble' in session) || session.trouble !== 'no-shell') return session;
  const direct = await connect(place, { command: nodeCommand(nonce) }, deps, signal, silenceMs);
  if ('trouble' in direct) return direct.trouble === 'no-shell' ? session : direct;
  const { version = '' } = direct.greeted;
  if (Number.parseInt(version, 10) >= LEAST_NODE) return direct;
  direct.end();
  return { trouble: 'old-node', said: version };
}

async function connect(
  place: RemotePlace,
  first: { readonly command: string; readonly input?: string },
  { programs, nonce }: SessionDeps,
  signal: AbortSignal,
  silenceMs: Silence,
): Promise<Session | PlaceTrouble> {
  if (signal.aborted) return { trouble: 'interrupted' };
  const stream = programs.start('ssh', sshArguments(place, first.command), { input: true });
  if (!('stdout' in stream) || 'ran' in stream) return { trouble: 'no-ssh' };
  const lines = linesOf(stream.stdout, BOUNDS);
  const next = (withinMs: number): Promise<string | PlaceTrouble> =>
    nextLine(lines, stream, withinMs, signal);
  if (first.input !== undefined) stream.write?.(first.input);
  const until = performance.now() + silenceMs.greeting;
  for (let count = 0; count < CHATTER_LINES; count += 1) {
    const line = await next(Math.max(1, until - performance.now()));
    if (typeof line !== 'string') {
      // What it printed ends before it says how it ended: stopped at once, it would say that it was stopped.
      if (line.trouble === 'ended') await Promise.race([stream.ended, pause(ENDING_MS)]);
      stream.stop();
      return line.trouble === 'ended' ? troubleOfSsh(await stream.ended, stream.stderr()) : line;
    }
    const greeted = readGreeting(line, nonce);
    if (greeted !== undefined)
      return {
        greeted,
        next: () => next(silenceMs.later),
        write: (text) => stream.write?.(text),
        end: () => stream.stop(),
      };
  }
  stream.stop();
  return { trouble: 'garbage' };
}

async function nextLine(
  lines: AsyncGenerator<string>,
  stream: ProgramStream,
  withinMs: number,
  signal: AbortSignal,
): Promise<string | PlaceTrouble> {
  let timer: NodeJS.Timeout | undefined;
  let onAbort = (): void => {};
  const stopped = new Promise<PlaceTrouble>((resolve) => {
    timer = setTimeout(() => resolve({ trouble: 'silent' }), withinMs);
    onAbort = () => resolve({ trouble: 'interrupted' });
    signal.addEventListener('abort', onAbort, { once: true });
    if (signal.aborted) onAbort();
  });
  const line = lines.next().then(
    ({ value, done }): string | PlaceTrouble => (done === true ? { trouble: 'ended' } : value),
    (error: unknown): PlaceTrouble => ({ trouble: error instanceof TooMuch ? 'too-much' : 'ended' }),
  );
  try {
    const got = await Promise.race([line, stopped]);
    // One that ended by itself has yet to say how.
    if (typeof got !== 'string' && got.trouble !== 'ended') stream.stop();
    return got;
  } finally {
    clearTimeout(timer);
    signal.removeEventListener('abort', onAbort);
  }
}
