/** Outside programs: looked up first, never a shell, C locale, bounded in time and output, no process left behind. */
import type { Readable } from 'node:stream';
import { EXTRA_FOLDERS, findHere } from './find-program.js';
import { type Started, startGroup } from './process-group.js';
import type { ProgramResult, ProgramStream, Programs, RunOptions } from './program-types.js';
import { consoleCodePage } from './windows/console-code-page.js';
import { decodeConsole } from './windows/console-text.js';

const DEFAULT_MAX_BYTES = 4 * 1024 * 1024;
/** Whoever names no bound gets this one, in milliseconds. */
const DEFAULT_TIMEOUT_MS = 60_000;
/** A program that is started to run beside us: a working day, in milliseconds. */
const STREAM_TIMEOUT_MS = 12 * 60 * 60 * 1000;
/** Largest text of stderr kept from a running program, in characters. */
const STDERR_LIMIT = 64 * 1024;

/** Plain English, in one time zone: what the parsers were written for. Windows does not listen to it. */
const LOCALE = { LC_ALL: 'C', LANG: 'C', LANGUAGE: '' };

export const programs: Programs = { run, start };

async function run(
  command: string,
  args: readonly string[],
  options: RunOptions = {},
): Promise<ProgramResult> {
  const { signal } = options;
  if (signal?.aborted) return INTERRUPTED;
  const found = findHere(command);
  if (!('path' in found)) return { ran: false, why: found.why, detail: found.why };
  const started = tryStart(found.path, args, { ...environment(), ...options.env });
  if (!('child' in started)) return started;
  const state = { timedOut: false, bytes: 0 };
  const maxBytes = options.maxBytes ?? DEFAULT_MAX_BYTES;
  const take = (chunks: Uint8Array[]) => (chunk: Uint8Array) => {
    const room = maxBytes - state.bytes;
    if (room > 0) chunks.push(chunk.length > room ? chunk.subarray(0, room) : chunk);
    state.bytes += chunk.length;
    if (state.bytes > maxBytes) started.end();
  };
  const stdout = gather(started.child.stdout, take);
  const stderr = gather(started.child.stderr, take);
  const timer = setTimeout(() => {
    state.timedOut = true;
    started.end();
  }, options.timeoutMs ?? DEFAULT_TIMEOUT_MS);
  const onAbort = (): void => started.end();
  signal?.addEventListener('abort', onAbort, { once: true });
  try {
    const outcome = await Promise.race([started.ended, started.failed]);
    if (outcome instanceof Error) return notStarted(outcome.code ?? '');
    if (signal?.aborted) return INTERRUPTED;
    const [out, err] = [await textOf(stdout), await textOf(stderr)];
    return { ran: true, exitCode: outcome, stdout: out, stderr: err, timedOut: state.timedOut };
  } finally {
    clearTimeout(timer);
    signal?.removeEventListener('abort', onAbort);
  }
}

const INTERRUPTED: ProgramResult = { ran: false, why: 'failed', detail: 'interrupted' };

function gather(
  stream: Readable | null,
  take: (chunks: Uint8Array[]) => (chunk: Uint8Array) => void,
): readonly Uint8Array[] {
  const chunks: Uint8Array[] = [];
  stream?.on('data', take(chunks));
  stream?.on('error', () => {});
  return chunks;
}

async function textOf(chunks: readonly Uint8Array[]): Promise<string> {
  const bytes = Buffer.concat(chunks);
  return process.platform === 'win32'
    ? decodeConsole(bytes, await consoleCodePage(bytes))
    : bytes.toString('utf8');
}

function notStarted(code: string): ProgramResult {
  if (code === 'ENOENT') return { ran: false, why: 'not-found', detail: code };
  if (code === 'EACCES' || code === 'EPERM') return { ran: false, why: 'not-permitted', detail: code };
  return { ran: false, why: 'failed', detail: code };
}

/** Some failures of the system come at once (EAGAIN, EMFILE), others as an event. */
function tryStart(
  file: string,
  args: readonly string[],
  env: Readonly<Record<string, string | undefined>>,
  input = false,
): Started | ProgramResult {
  try {
    return startGroup(file, args, { env, input, watch: !input });
  } catch (error) {
    return notStarted(error instanceof Error && 'code' in error ? String(error.code) : '');
  }
}

function start(
  command: string,
  args: readonly string[],
  options: { readonly input?: boolean } = {},
): ProgramStream | ProgramResult {
  const found = findHere(command);
  if (!('path' in found)) return { ran: false, why: found.why, detail: found.why };
  const started = tryStart(found.path, args, environment(), options.input);
  if (!('child' in started)) return started;
  const { child } = started;
  const { stdout } = child;
  if (child.pid === undefined || stdout === null) return notStarted('EACCES');
  let stderr = '';
  child.stderr?.on('data', (chunk: Uint8Array) => {
    if (stderr.length < STDERR_LIMIT) stderr += decodeConsole(chunk);
  });
  const timer = setTimeout(() => started.end(), STREAM_TIMEOUT_MS).unref();
  const ended = Promise.race([started.ended, started.failed]).then((outcome) => {
    clearTimeout(timer);
    return outcome instanceof Error ? undefined : outcome;
  });
  return {
    stdout: bytesOf(stdout),
    stderr: () => stderr.slice(0, STDERR_LIMIT),
    ended,
    ...(options.input === true ? conversation(child) : {}),
    stop: () => started.end(),
  };
}

/** It ends when its input does, that is with us: so it need not be waited for. */
function conversation(child: Started['child']): Required<Pick<ProgramStream, 'write' | 'hold'>> {
  child.stdin?.on('error', () => {});
  const held = [child, child.stdin, child.stdout, child.stderr].flatMap((each) => holdable(each) ?? []);
  return {
    write: (text) => {
      child.stdin?.write(text);
    },
    hold: (holds) => {
      for (const each of held) {
        if (holds) each.ref();
        else each.unref();
      }
    },
  };
}

/** A child process and its pipes can be let go of; the types of streams do not tell. */
function holdable(value: unknown): { ref(): void; unref(): void } | undefined {
  const able = typeof value === 'object' && value !== null && 'ref' in value && 'unref' in value;
  return able ? (value as { ref(): void; unref(): void }) : undefined;
}

/** A stream cut by `stop` has ended; that is no error. */
async function* bytesOf(stream: AsyncIterable<unknown>): AsyncIterable<Uint8Array> {
  try {
    for await (const chunk of stream) if (chunk instanceof Uint8Array) yield chunk;
  } catch {
    // what was read before the cut has been given out
  }
}

function environment(): Record<string, string | undefined> {
  if (process.platform === 'win32') return { ...process.env, ...LOCALE };
  const path = [process.env.PATH ?? '', ...EXTRA_FOLDERS].filter((part) => part !== '').join(':');
  return { ...process.env, ...LOCALE, PATH: path };
}
