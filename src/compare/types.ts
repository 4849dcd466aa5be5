/** compare.json, format `matchmark.compare/1`: what changed from an older result to a newer one. Types only. */
import type { Finding } from '../findings/index.js';
import type { DefaultResult, EndpointVerdict, GroupVerdict, Thing } from '../matrix/matrix.js';

/**
 * place: where the endpoint is in the plan. box: which box answers. link: how its port came up. software: what the box says of
 * its own programs.
 */
export type FactKind = 'place' | 'box' | 'link' | 'software';

/** One fact that both runs knew and that is not the same. What only one run knew is no change. */
export interface FactChange {
  readonly kind: FactKind;
  /** In words: `serial number`, `link speed`. */
  readonly fact: string;
  readonly before: string;
  readonly now: string;
}

export interface EndpointChange {
  readonly id: string;
  readonly before: EndpointVerdict;
  readonly now: EndpointVerdict;
  /** It matched and does not any more. */
  readonly worse: boolean;
  readonly facts: readonly FactChange[];
  /** Why the verdict is what it is now, where it is another. */
  readonly reasons: readonly string[];
}

export interface EndpointPresence {
  readonly id: string;
  readonly address: string;
  readonly verdict: EndpointVerdict;
}

export interface GroupChange {
  readonly name: string;
  readonly before: GroupVerdict;
  readonly now: GroupVerdict;
  /** It was redundant and is not any more, or it was at risk and is lost. */
  readonly worse: boolean;
  readonly newSinglePoints: readonly Thing[];
  readonly goneSinglePoints: readonly Thing[];
}

export interface DefaultChange {
  readonly address: string;
  readonly before: DefaultResult['outcome'];
  readonly now: DefaultResult['outcome'];
}

export interface ComparedRun {
  readonly id: string;
  readonly site: string;
  readonly startedAt: string;
  readonly stage: 'power-on' | 'configured';
  readonly complete: boolean;
  readonly version: string;
  readonly vantages: readonly string[];
  readonly planFiles: readonly { readonly name: string; readonly sha256: string }[];
}

export interface Comparison {
  readonly format: 'matchmark.compare/1';
  readonly version: string;
  readonly old: ComparedRun;
  readonly new: ComparedRun;
  /** What makes the two hard to compare, as sentences. */
  readonly cautions: readonly string[];
  readonly worse: boolean;
  readonly findings: {
    readonly new: readonly Finding[];
    readonly cleared: readonly Finding[];
    /** The same matter with another severity or other numbers. */
    readonly changed: readonly { readonly before: Finding; readonly now: Finding }[];
  };
  readonly endpoints: {
    readonly changed: readonly EndpointChange[];
    readonly new: readonly EndpointPresence[];
    readonly gone: readonly EndpointPresence[];
    readonly same: number;
  };
  readonly groups: {
    readonly changed: readonly GroupChange[];
    readonly new: readonly string[];
    readonly gone: readonly string[];
  };
  readonly defaults: readonly DefaultChange[];
}
