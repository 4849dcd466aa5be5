/**
 * What ends a run from outside or by surprise: Ctrl-C, a closed terminal, an output that takes no more, an error in whatever callback.
 * Each time the run winds up by `signal` and writes what it has; only where it does not, the process is ended from here.
 */
import { setMaxListeners } from 'node:events';

/** `interrupt`: somebody wants it to end. The others: it could not be completed. */
export type Ending = 'interrupt' | 'hang-up' | 'fault' | 'output-lost';

export interface SafetyNet {
  /** What the exit status of the program becomes, given that of the command. */
  readonly statusOf: (own: number) => number;
  /** Aborted as soon as the run has to wind up. */
  readonly signal: AbortSignal;
  /** As if Ctrl-C were pressed; the second time ends the process at once. */
  readonly interrupt: () => void;
  /** Resolves where a run has not wound up in time after a fault or a hang-up. */
  readonly givenUp: Promise<void>;
  /** While `work` runs and nothing can be lost, Ctrl-C ends the process at once, also where it is too busy to hear of it. */
  readonly unguarded: <T>(work: () => Promise<T>) => Promise<T>;
  /** The run is over; what comes later has no run to end. */
  readonly close: () => void;
}

/** Exit status where the program is ended from here (DESIGN 4). */
const STATUS = { usage: 2, interrupted: 130, incomplete: 3 } as const;
/** A run has this long to write what it has: the longest question has ten seconds, and ends at once when told. */
const WIND_UP_MS = 20_000;
/** What still holds the process after it gave its status (a socket that nobody closed) has this long. */
const LINGER_MS = 1_000;

interface Run {
  readonly end: (why: Ending) => void;
  readonly fault: (error: unknown) => void;
}

/** The run under way. One at a time in a process; tests run several one after the other. */
let run: Run | undefined;
let watching = false;
/** Works under way that may be ended at any moment: one may hold another. */
let unguardedWorks = 0;

/** `onFault` says what went wrong inside the program; it must not throw. */
export function openSafetyNet(onFault: (error: unknown) => void): SafetyNet {
  watchProcess();
  const controller = new AbortController();
  // Every question under way listens to it; Node would take more than ten for a leak and say so.
  setMaxListeners(0, controller.signal);
  let ending: Ending | undefined;
  let giveUp = (): void => {};
  const givenUp = new Promise<void>((resolve) => {
    giveUp = resolve;
  });
  let timer: NodeJS.Timeout | undefined;
  const own: Run = {
    end: (why) => {
      if (why === 'interrupt' && controller.signal.aborted) process.exit(STATUS.interrupted);
      ending ??= why;
      // A reader that left ends nothing: the run goes on and its files are written.
      if (why === 'output-lost') return;
      if (why === 'fault') ending = why;
      controller.abort();
      if (why !== 'interrupt') timer ??= setTimeout(giveUp, WIND_UP_MS);
    },
    fault: (error) => {
      onFault(error);
      own.end('fault');
    },
  };
  run = own;
  return {
    signal: controller.signal,
    interrupt: () => own.end('interrupt'),
    statusOf: (own) => {
      if (ending === undefined || ending === 'interrupt') return own;
      const kept = ending === 'output-lost' && (own === STATUS.usage || own === STATUS.interrupted);
      return kept ? own : STATUS.incomplete;
    },
    givenUp,
    unguarded: async (work) => {
      unguardedWorks += 1;
      if (unguardedWorks === 1) for (const [name, listener] of ENDINGS) process.off(name, listener);
      try {
        return await work();
      } finally {
        unguardedWorks -= 1;
        if (unguardedWorks === 0) for (const [name, listener] of ENDINGS) process.on(name, listener);
      }
    },
    close: () => {
      clearTimeout(timer);
      if (run === own) run = undefined;
      // A fault may have left something open that would hold the process for ever.
      if (ending === 'fault' || ending === 'hang-up') lingerNoLonger();
    },
  };
}

/** Ends the process in a while where nothing else does; bin/ has set the status by then. */
function lingerNoLonger(): void {
  setTimeout(() => process.exit(process.exitCode ?? STATUS.incomplete), LINGER_MS).unref();
}

/** SIGHUP: the terminal was closed. SIGBREAK is Ctrl-Break on Windows. */
const ENDINGS: readonly (readonly [NodeJS.Signals, () => void])[] = [
  ['SIGINT', () => over('interrupt')],
  ['SIGTERM', () => over('interrupt')],
  ['SIGHUP', () => over('hang-up')],
  ['SIGBREAK', () => over('hang-up')],
];

/** Stays on for the life of the process: an error may come after the last line was written. */
function watchProcess(): void {
  if (watching) return;
  watching = true;
  for (const [name, listener] of ENDINGS) process.on(name, listener);
  for (const stream of [process.stdout, process.stderr]) stream.on('error', () => over('output-lost'));
  for (const name of ['uncaughtException', 'unhandledRejection'] as const)
    process.on(name, (error: unknown) => {
      if (run !== undefined) run.fault(error);
      else process.exitCode = STATUS.incomplete;
    });
}

function over(why: Ending): void {
  if (run !== undefined) run.end(why);
  else if (why === 'output-lost') {
    if (process.exitCode !== STATUS.usage && process.exitCode !== STATUS.interrupted)
      process.exitCode = STATUS.incomplete;
  } else process.exit(why === 'interrupt' ? STATUS.interrupted : STATUS.incomplete);
}
