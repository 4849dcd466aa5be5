/** The one error class of the project. Callers match `code`, never the wording. */
export type ErrorCode =
  | 'plan-unreadable'
  | 'plan-invalid'
  | 'usage'
  | 'result-unreadable'
  | 'result-invalid'
  | 'write-failed'
  | 'program-unreadable';

export class MatchmarkError extends Error {
  readonly code: ErrorCode;
  /** What the reader can do next, one sentence. */
  readonly next: string | undefined;

  constructor(code: ErrorCode, message: string, options: { cause?: unknown; next?: string } = {}) {
    super(message, options.cause === undefined ? undefined : { cause: options.cause });
    this.name = 'MatchmarkError';
    this.code = code;
    this.next = options.next;
  }
}
