/** compare.json, format `matchmark.compare/1`: what changed from an older result to a newer one. Types only; no sentence is in it but findings' own. */
import type { Finding } from '../findings/index.js';
import type {
  DefaultResult,
  EndpointVerdict,
  FactResult,
  GroupVerdict,
  ObservationResult,
  StrangerResult,
  Thing,
} from '../matrix/matrix.js';

/** One of the two results. */
export type Side = 'old' | 'new';

/** What makes the two hard to compare. */
export type Caution =
  | { readonly caution: 'other-site'; readonly old: string; readonly new: string }
  | { readonly caution: 'same-run' }
  | { readonly caution: 'other-way-round' }
  | { readonly caution: 'other-stage'; readonly old: string; readonly new: string }
  | { readonly caution: 'other-places'; readonly old: readonly string[]; readonly new: readonly string[] }
  | { readonly caution: 'cut-short'; readonly side: Side }
  | { readonly caution: 'limited'; readonly side: Side; readonly only: readonly string[] }
  | { readonly caution: 'no-facts'; readonly side: Side }
  | { readonly caution: 'other-version'; readonly old: string; readonly new: string }
  /** `files`: names of those that hold something else, or that only one of the two has. */
  | { readonly caution: 'other-plan'; readonly files: readonly string[] };

/**
 * worse: it was as planned and is wrong. no-longer-proven: it was as planned and could not be tested. found-wrong: nobody had tested it, and
 * it is wrong. now-proven: the other way. better: it was wrong and is as planned. otherwise: none of these (wrong before and now).
 */
export type Turn = 'worse' | 'no-longer-proven' | 'found-wrong' | 'now-proven' | 'better' | 'otherwise';

/** State of a planned fact in one of the results. */
export interface FactState {
  readonly state: EndpointVerdict;
  readonly measured: string;
  readonly by: FactResult['by'];
}

/** One planned fact of an endpoint whose state is another, or whose measured value is. */
export interface FactChange {
  readonly fact: FactResult['fact'];
  /** Name of the service, for `fact: service`. */
  readonly service?: string | undefined;
  /** As the newer plan has it. */
  readonly planned: string;
  readonly before: FactState;
  readonly now: FactState;
  readonly turn: Turn;
  /** Why it is what it is now: a name, and the same in words. */
  readonly cause?: string | undefined;
  readonly reason: string;
}

export interface EndpointChange {
  readonly id: string;
  readonly before: EndpointVerdict;
  readonly now: EndpointVerdict;
  /** Of the verdict; `same` where only facts changed. */
  readonly turn: Turn | 'same';
  /** It counts for the exit status. */
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

/**
 * Serial numbers (or, where neither result has one, the UUID) of a device or controller that are not the same. whole: none is left of
 * those before. part: some are. traded: what is here now stood at `from` before.
 */
export interface Exchange {
  readonly device: string;
  readonly controller: string;
  readonly mark: 'serial number' | 'UUID';
  readonly extent: 'whole' | 'part' | 'traded';
  readonly from?: string | undefined;
  readonly before: readonly string[];
  readonly now: readonly string[];
}

/** Something a device tells of itself, or of its port, that is not the same; the plan need not state it. */
export interface ToldChange {
  readonly device: string;
  readonly controller: string;
  /** Endpoints at which it was told. */
  readonly endpoints: readonly string[];
  /** In words: `sysDescr`, `link speed`. */
  readonly what: string;
  readonly before: string;
  readonly now: string;
}

/** A cable that ends in another switch port than before, as the switches tell it. */
export interface CableMove {
  readonly endpoint: string;
  readonly before: string;
  readonly now: string;
  /** The endpoint that now is where this one was, and was where this one is. */
  readonly swappedWith?: string | undefined;
  /** Against the plan; `unplanned` where it names no switch port. */
  readonly turn: Turn | 'unplanned';
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

export interface ObservationChange {
  readonly subject: string;
  readonly item: string;
  readonly before: ObservationResult['verdict'];
  readonly now: ObservationResult['verdict'];
  readonly worse: boolean;
}

/** The plan itself: which endpoints and facts it states. */
export interface PlanChange {
  readonly endpoint: string;
  readonly what: string;
  /** Empty where it was not stated. */
  readonly before: string;
  readonly now: string;
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
  readonly cautions: readonly Caution[];
  readonly worse: boolean;
  readonly findings: {
    readonly new: readonly Finding[];
    readonly cleared: readonly Finding[];
    /** The same finding with another severity. */
    readonly changed: readonly { readonly before: Finding; readonly now: Finding }[];
    readonly same: number;
  };
  readonly equipment: {
    readonly exchanged: readonly Exchange[];
    /** Other than serial numbers: MAC, certificate, engine. */
    readonly identity: readonly ToldChange[];
    readonly software: readonly ToldChange[];
    /** What the ports came up as, where the plan states nothing of it. */
    readonly links: readonly ToldChange[];
  };
  readonly cables: readonly CableMove[];
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
  readonly observations: readonly ObservationChange[];
  readonly defaults: readonly DefaultChange[];
  readonly strangers: { readonly new: readonly StrangerResult[]; readonly gone: readonly StrangerResult[] };
  readonly plan: readonly PlanChange[];
}
