import type { Secret } from '../plan/secret.js';

export type { ProgramResult, ProgramStream, Programs } from '../system/program-types.js';

/** How long to wait for one answer, and how many times to ask. */
export interface Patience {
  readonly timeoutMs: number;
  readonly attempts: number;
  /** Wait after the last try, in milliseconds, where tries overlap (TCP connections); else `timeoutMs`. */
  readonly lastMs?: number | undefined;
  /** Longest conversation over a connection that stands, where it is less than two patiences: what is left of its device's time. */
  readonly talkMs?: number | undefined;
  /** Called after `attempts` tries without an answer, with their number: true asks once more. */
  readonly more?: ((asked: number) => boolean) | undefined;
  /** Waited for before each request of a walk, which has many: the pace (src/run/pace.ts). */
  readonly mayAsk?: (() => Promise<void>) | undefined;
  /** Called once a connection is accepted or refused, with the number of the try, counted from 1: those before it were lost. */
  readonly answered?: ((tries: number) => void) | undefined;
  /** Called where a connection took so many frames less than is usual. */
  readonly spared?: ((frames: number) => void) | undefined;
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
