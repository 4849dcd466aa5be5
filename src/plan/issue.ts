import type { SourceRef } from './model.js';

/**
 * One thing wrong (or worth saying) about what the user wrote. Wording lives in src/plan-file/wording.ts.
 * `error` stops the command with exit 2; `note` does not.
 */
export interface PlanIssue {
  readonly level: 'error' | 'note';
  /** Stable, kebab-case: `unknown-column`, `bad-address`, `two-meanings`, ... */
  readonly code: string;
  readonly at: SourceRef;
  /** The offending text as written, already cut to a sane length. */
  readonly found?: string | undefined;
  /** What would have been right, in words. */
  readonly expected?: string | undefined;
  /** The nearest fitting word, where one is near. */
  readonly nearest?: string | undefined;
}
