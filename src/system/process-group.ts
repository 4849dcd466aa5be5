/**
 * Started programs with everything that they start themselves, as one group that can be ended: a program behind a shell wrapper is not
 * reached by ending the shell. What still runs when we end is ended with us, and by the watcher where we are killed.
 */
import { type ChildProcess, spawn } from 'node:child_process';
import { watched } from './watcher.js';

/** After the polite signal, how long until the impolite one, in milliseconds. */
const FORCE_MS = 500;
/** After that, output still held open by somebody outside the group is let go of, in milliseconds. */
const LET_GO_MS = 500;

export interface Started {
  readonly child: ChildProcess;
  /** The exit code once it has ended and all its output has come or was let go of. Never rejects. */
  readonly ended: Promise<number | undefined>;
  /** The error of a program that could not be started. */
  readonly failed: Promise<NodeJS.ErrnoException>;
  end(): void;
}

/** So many are told to the watcher as they start. Where hundreds run (pings of a large site), telling costs, and those that stay are told. */
const WATCHED_AT_ONCE = 16;
/** A program that has run for this long may stay, in milliseconds. */
const STAYS_MS = 1_000;

const live = new Set<ChildProcess>();
let hooked = false;

/** `watch`: one that ends with its input needs nobody to end it where we are killed. */
export function startGroup(
  file: string,
  args: readonly string[],
  options: {
    readonly env: Readonly<Record<string, string | undefined>>;
    readonly input: boolean;
    readonly watch: boolean;
  },
): Started {
  hookExit();
  const child = spawn(file, args, {
    env: options.env,
    stdio: [options.input ? 'pipe' : 'ignore', 'pipe', 'pipe'],
    // A group of its own. On Windows that would be a window of its own, and there are no groups.
    detached: process.platform !== 'win32',
    windowsHide: true,
  });
  const { pid } = child;
  if (pid !== undefined) live.add(child);
  const timers: NodeJS.Timeout[] = [];
  if (options.watch && pid !== undefined) {
    if (live.size <= WATCHED_AT_ONCE) watched.add(pid);
    else timers.push(setTimeout(() => watched.add(pid), STAYS_MS).unref());
  }
  let over = false;
  const letGo = (): void => {
    child.stdout?.destroy();
    child.stderr?.destroy();
  };
  const failed = new Promise<NodeJS.ErrnoException>((resolve) => {
    child.once('error', (error) => {
      live.delete(child);
      resolve(error);
    });
  });
  const ended = new Promise<number | undefined>((resolve) => {
    child.once('exit', () => {
      over = true;
      live.delete(child);
      for (const timer of timers.splice(0)) clearTimeout(timer);
      // Whatever it started and left behind goes with it; who holds the output open from outside the group is not waited for.
      signalGroup(child, 'SIGKILL');
      if (pid !== undefined) watched.delete(pid);
      timers.push(setTimeout(letGo, LET_GO_MS));
    });
    child.once('close', (code) => {
      for (const timer of timers) clearTimeout(timer);
      resolve(code ?? undefined);
    });
  });
  return {
    child,
    ended,
    failed,
    end: () => {
      // Its number may be another's by now.
      if (over) return;
      signalGroup(child, 'SIGTERM');
      timers.push(
        setTimeout(() => signalGroup(child, 'SIGKILL'), FORCE_MS),
        setTimeout(letGo, FORCE_MS + LET_GO_MS),
      );
    },
  };
}

function signalGroup(child: ChildProcess, signal: 'SIGTERM' | 'SIGKILL'): void {
  if (child.pid === undefined) return;
  try {
    if (process.platform === 'win32') child.kill(signal);
    else process.kill(-child.pid, signal);
  } catch {
    // it has ended
  }
}

function hookExit(): void {
  if (hooked) return;
  hooked = true;
  process.on('exit', () => {
    for (const child of live) signalGroup(child, 'SIGKILL');
  });
}
