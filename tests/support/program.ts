/** The built program as a process of its own, for what cannot be shown from within: kills, signals, full disks. */
import { type ChildProcess, spawn } from 'node:child_process';
import { fileURLToPath } from 'node:url';

const BIN = fileURLToPath(new URL('../../bin/matchmark.js', import.meta.url));

export interface Ended {
  readonly status: number | null;
  readonly signal: NodeJS.Signals | null;
  readonly out: string;
  readonly err: string;
}

export interface Started {
  readonly child: ChildProcess;
  readonly ended: Promise<Ended>;
  /** Resolves when standard error or output has said this. */
  said(what: RegExp): Promise<void>;
}

export function startProgram(
  argv: readonly string[],
  options: { readonly cwd: string; readonly node?: readonly string[]; readonly env?: NodeJS.ProcessEnv },
): Started {
  const child = spawn(process.execPath, [...(options.node ?? []), BIN, ...argv], {
    cwd: options.cwd,
    env: { ...process.env, LANG: 'C.UTF-8', NO_COLOR: '1', ...options.env },
    stdio: ['ignore', 'pipe', 'pipe'],
  });
  const text = { out: '', err: '' };
  const waiting: { readonly what: RegExp; readonly resolve: () => void }[] = [];
  const look = (): void => {
    for (const { what, resolve } of waiting) if (what.test(text.out + text.err)) resolve();
  };
  child.stdout?.setEncoding('utf8').on('data', (more: string) => {
    text.out += more;
    look();
  });
  child.stderr?.setEncoding('utf8').on('data', (more: string) => {
    text.err += more;
    look();
  });
  const ended = new Promise<Ended>((resolve) =>
    child.once('close', (status, signal) => resolve({ status, signal, ...text })),
  );
  return {
    child,
    ended,
    said: (what) =>
      new Promise((resolve, reject) => {
        waiting.push({ what, resolve });
        look();
        void ended.then(({ err }) => reject(new Error(`ended without saying ${what}: ${err}`)));
      }),
  };
}

export async function runProgram(
  argv: readonly string[],
  options: Parameters<typeof startProgram>[1],
): Promise<Ended> {
  return startProgram(argv, options).ended;
}
