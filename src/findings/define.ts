/**
 * A rule is one row of the table: code, severity, wording, advice, and what `matchmark explain CODE` says.
 * The facts are typed per rule; no sentence is made anywhere but here.
 */
import type { Severity } from '../matrix/matrix.js';

export type { Severity } from '../matrix/matrix.js';

export interface Rule<Facts> {
  readonly severity: Severity;
  /** plan = known offline; site = seen on the network; redundancy = computed from both. */
  readonly family: 'plan' | 'site' | 'redundancy';
  /** A few words, for headings: "Two boxes on one address". */
  readonly title: string;
  /** One sentence of what is so, with names and numbers. */
  readonly message: (facts: Facts) => string;
  /** What to do about it, imperative, one or two sentences. */
  readonly advice: (facts: Facts) => string;
  readonly explain: {
    readonly means: string;
    readonly matters: string;
    readonly seen: string;
    readonly todo: string;
  };
}

/** Keeps the facts' type while checking the shape. */
export function rule<Facts>(definition: Rule<Facts>): Rule<Facts> {
  return definition;
}
