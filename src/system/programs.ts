/** Outside programs over execa: never a shell, C locale, bounded output, no child left behind. */
import { accessSync, constants } from 'node:fs';
import { delimiter, isAbsolute, join } from 'node:path';
import { execa } from 'execa';
import type { ProgramResult, ProgramStream, Programs, RunOptions } from './program-types.js';

const DEFAULT_MAX_BYTES = 4 * 1024 * 1024;
/** Largest text of stderr kept from a running program, in characters. */
const STDERR_LIMIT = 64 * 1024;
/** After the polite signal, how long until the impolite one, in milliseconds. */
const FORCE_KILL_MS = 500;
/** After that, output still held open by a grandchild is let go of, in milliseconds. */
const LET_GO_MS = 1000;

/** Plain English, in one time zone: what the parsers in src/wire were written for. */
const LOCALE = { LC_ALL: 'C', LANG: 'C', LANGUAGE: '' };

/** Some systems keep network programs where an ordinary user's PATH does not look. */
const EXTRA_FOLDERS = process.platform === 'win32' ? [] : ['/usr/sbin', '/sbin', '/usr/local/sbin'];

export const programs: Programs = { run, start };

async function run(
  command: string,
  args: readonly string[],
  options: RunOptions = {},
): Promise<ProgramResult> {
  if (options.signal?.aborted) return { ran: false, why: 'failed', detail: 'interrupted' };
  const child = execa(command, args, {
    reject: false,
    stdin: 'ignore',
    env: { ...environment(), ...options.env },
    maxBuffer: options.maxBytes ?? DEFAULT_MAX_BYTES,
    stripFinalNewline: false,
    windowsHide: true,
    forceKillAfterDelay: FORCE_KILL_MS,
    ...(options.timeoutMs === undefined ? {} : { timeout: options.timeoutMs }),
    ...(options.signal === undefined ? {} : { cancelSignal: options.signal }),
  });
  killAbove(options.maxBytes ?? DEFAULT_MAX_BYTES, child);
  const release = letGoOfOutput(child, options);
  try {
    return toResult(await child);
  } finally {
    release();
  }
}

/** execa stops reading at the limit, but lets a program that ignores the closed pipe run on. */
function killAbove(
  maxBytes: number,
  child: { readonly stdout: NodeJS.ReadableStream; kill(): boolean },
): void {
  let bytes = 0;
  child.stdout.on('data', (chunk: Uint8Array) => {
    bytes += chunk.length;
    if (bytes > maxBytes) child.kill();
  });
}

/** A killed program whose own child still holds the pipe must not hold us. */
function letGoOfOutput(
  child: { readonly stdout: NodeJS.ReadableStream; readonly stderr: NodeJS.ReadableStream },
  options: RunOptions,
): () => void {
  const drop = () => {
    for (const stream of [child.stdout, child.stderr])
      if ('destroy' in stream) asDestroyable(stream).destroy();
  };
  const timers: NodeJS.Timeout[] = [];
  const later = (ms: number) => timers.push(setTimeout(drop, ms));
  const onAbort = () => later(LET_GO_MS);
  if (options.timeoutMs !== undefined) later(options.timeoutMs + LET_GO_MS);
  options.signal?.addEventListener('abort', onAbort, { once: true });
  return () => {
    options.signal?.removeEventListener('abort', onAbort);
    for (const timer of timers) clearTimeout(timer);
  };
}

function asDestroyable(stream: unknown): { destroy(): void } {
  return stream as { destroy(): void };
}

interface Finished {
  readonly exitCode?: number | undefined;
  readonly signal?: string | undefined;
  readonly code?: string | undefined;
  readonly isCanceled: boolean;
  readonly timedOut: boolean;
  readonly stdout: unknown;
  readonly stderr: unknown;
}

function toResult(result: Finished): ProgramResult {
  if (result.exitCode === undefined && result.signal === undefined && result.code !== undefined) {
    return notStarted(result.code);
  }
  if (result.isCanceled) return { ran: false, why: 'failed', detail: 'interrupted' };
  return {
    ran: true,
    exitCode: result.exitCode,
    stdout: String(result.stdout ?? ''),
    stderr: String(result.stderr ?? ''),
    timedOut: result.timedOut,
  };
}

function notStarted(code: string): ProgramResult {
  if (code === 'ENOENT') return { ran: false, why: 'not-found', detail: code };
  if (code === 'EACCES' || code === 'EPERM') return { ran: false, why: 'not-permitted', detail: code };
  return { ran: false, why: 'failed', detail: code };
}

function start(
  command: string,
  args: readonly string[],
  options: { readonly input?: boolean } = {},
): ProgramStream | ProgramResult {
  const child = execa(command, args, {
    reject: false,
    buffer: false,
    stdin: options.input === true ? 'pipe' : 'ignore',
    encoding: 'buffer',
    env: environment(),
    windowsHide: true,
    forceKillAfterDelay: FORCE_KILL_MS,
  });
  if (child.pid === undefined) return notStarted(isOnPath(command) ? 'EACCES' : 'ENOENT');
  let stderr = '';
  child.stderr.on('data', (chunk: Uint8Array) => {
    if (stderr.length < STDERR_LIMIT) stderr += Buffer.from(chunk).toString('utf8');
  });
  const ended = new Promise<number | undefined>((resolve) => {
    child.once('exit', (code) => resolve(code ?? undefined));
  });
  return {
    stdout: bytesOf(child.stdout),
    stderr: () => stderr.slice(0, STDERR_LIMIT),
    ended,
    ...(options.input === true ? conversation(child) : {}),
    stop: () => {
      child.kill();
    },
  };
}

/** It ends when its input does, that is with us: so it need not be waited for. */
function conversation(child: Child): Required<Pick<ProgramStream, 'write' | 'hold'>> {
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

interface Child {
  readonly stdin: NodeJS.WritableStream | null;
  readonly stdout: NodeJS.ReadableStream | null;
  readonly stderr: NodeJS.ReadableStream | null;
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

function environment(): Record<string, string> {
  const path = [process.env.PATH ?? '', ...EXTRA_FOLDERS].filter((part) => part !== '').join(delimiter);
  return process.platform === 'win32' ? LOCALE : { ...LOCALE, PATH: path };
}

function isOnPath(command: string): boolean {
  if (isAbsolute(command)) return exists(command);
  const folders = [...(process.env.PATH ?? '').split(delimiter), ...EXTRA_FOLDERS];
  return folders.some((folder) => folder !== '' && exists(join(folder, command)));
}

function exists(path: string): boolean {
  try {
    accessSync(path, constants.F_OK);
    return true;
  } catch {
    return false;
  }
}
