import type { Secret } from '../plan/secret.js';

/** How long to wait for one answer, and how many times to ask. */
export interface Patience {
  readonly timeoutMs: number;
  readonly attempts: number;
}

/**
 * A probe is one function. It never throws or rejects on anything a device or the network does; an aborted signal makes it
 * resolve promptly with `not-run` (reason "interrupted"), and it leaves no socket, timer or child behind.
 */
export type Probe<Target, Outcome> = (
  target: Target,
  patience: Patience,
  signal: AbortSignal,
) => Promise<Outcome>;

/** Result of running a program. A program that is absent or forbidden is a value, not an exception. */
export type ProgramResult =
  | {
      readonly ran: true;
      readonly exitCode: number | undefined;
      readonly stdout: string;
      readonly stderr: string;
      readonly timedOut: boolean;
    }
  | { readonly ran: false; readonly why: 'not-found' | 'not-permitted' | 'failed'; readonly detail: string };

export interface ProgramStream {
  /** Raw stdout; ends when the program ends. */
  readonly stdout: AsyncIterable<Uint8Array>;
  readonly stderr: () => string;
  /** Resolves with the exit code; never rejects. */
  readonly ended: Promise<number | undefined>;
  stop(): void;
}

/** The one way to outside programs. The real one is src/probe/programs.ts (execa); tests pass their own. */
export interface Programs {
  run(
    command: string,
    args: readonly string[],
    options?: {
      readonly timeoutMs?: number;
      readonly signal?: AbortSignal;
      readonly env?: Record<string, string>;
      /** Largest output kept, in bytes (default 4 MiB). */
      readonly maxBytes?: number;
    },
  ): Promise<ProgramResult>;
  start(command: string, args: readonly string[]): ProgramStream | ProgramResult;
}

export interface Clock {
  /** Milliseconds, monotonic. */
  now(): number;
  /** Wall clock. */
  date(): Date;
}

/** A credential with its secrets read, ready for a probe. Never serialised. */
export interface ResolvedSnmp {
  readonly name: string;
  readonly version: '1' | '2c' | '3';
  readonly port: number;
  readonly community?: Secret | undefined;
  readonly user?: string | undefined;
  readonly level?: 'noAuthNoPriv' | 'authNoPriv' | 'authPriv' | undefined;
  readonly auth?: string | undefined;
  readonly authKey?: Secret | undefined;
  readonly priv?: string | undefined;
  readonly privKey?: Secret | undefined;
}
