/** Outside programs, as everybody who needs one sees them. The real ones are programs.ts; tests pass their own. */

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
  /** Only where it was started with `input`. */
  readonly write?: ((text: string) => void) | undefined;
  /** Whether it keeps this program from ending. It does, until told otherwise. */
  readonly hold?: ((holds: boolean) => void) | undefined;
  stop(): void;
}

export interface RunOptions {
  readonly timeoutMs?: number;
  readonly signal?: AbortSignal;
  readonly env?: Record<string, string>;
  /** Largest output kept, in bytes (default 4 MiB). */
  readonly maxBytes?: number;
}

export interface Programs {
  run(command: string, args: readonly string[], options?: RunOptions): Promise<ProgramResult>;
  /** `input`: it is asked by lines, see `write`. */
  start(
    command: string,
    args: readonly string[],
    options?: { readonly input?: boolean },
  ): ProgramStream | ProgramResult;
}

/** One sentence part: why a program gave nothing. */
export function failureOf(program: string, result: ProgramResult): string {
  if (!result.ran)
    return result.why === 'not-found' ? `${program} is not installed` : `${program} may not be run here`;
  if (result.timedOut) return `${program} did not end in time`;
  return `${program} ended with status ${result.exitCode ?? 'unknown'}`;
}

/** What a program printed, where it ended well. */
export function textOf(result: ProgramResult): string | undefined {
  return result.ran && result.exitCode === 0 && !result.timedOut ? result.stdout : undefined;
}
