/**
 * A rule is one row of the table: code, severity, wording, advice, and what `matchmark explain CODE` says.
 * The facts are typed per rule; no sentence is made anywhere but here.
 */
import type { FactResult, Severity } from '../matrix/matrix.js';

export type { Severity } from '../matrix/matrix.js';

/**
 * covers-network, covers-switch: it explains the `silence` of everything there; covers-device: what a `service` there does not do. service: of a device on which nothing works one such
 * finding is the job. exchange: two that were exchanged are put right by one exchange. never-redundant: the plan was like this, and what
 * the site shows of the group follows.
 */
export type Joins =
  | 'covers-network'
  | 'covers-switch'
  | 'covers-device'
  | 'silence'
  | 'service'
  | 'exchange'
  | 'never-redundant'
  | 'none';

export interface Rule<Facts> {
  readonly severity: Severity;
  /** plan = known offline; site = seen on the network; redundancy = computed from both. */
  readonly family: 'plan' | 'site' | 'redundancy';
  /** The planned fact that it speaks about, and so the column of the matrix; undefined where it is about no single cell. */
  readonly column: FactResult['fact'] | undefined;
  /** A path through the endpoint it is about does not work; a slow link, a small MTU or a wrong switch port leave it (DESIGN 6). */
  readonly endsPath: boolean;
  /** Computed from other faults: it follows from them, and is no job of its own where one of them is at hand. */
  readonly consequence: boolean;
  /** How it joins others into one job (findings/causes.ts). */
  readonly joins: Joins;
  /** A few words, for headings: "Two devices on one address". */
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
