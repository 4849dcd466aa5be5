/** matrix.json, format `matchmark.matrix/1` (DESIGN 7). Types only; src/result/schema.ts checks what is read back. */
import type { Finding } from '../findings/index.js';
import type { Plan } from '../plan/model.js';
import type {
  Evidence,
  IcmpSighting,
  IdentitySighting,
  IscsiSighting,
  LinkSighting,
  MtuSighting,
  PresenceSighting,
  Reach,
  ServiceProof,
  SnmpSighting,
  TcpSighting,
} from '../sighting/types.js';
import type { Survey } from '../survey/types.js';

export type EndpointVerdict = 'matches' | 'differs' | 'missing' | 'unproven';
export type GroupVerdict = 'redundant' | 'at-risk' | 'lost' | 'unproven';

export interface Difference {
  readonly field: string;
  readonly planned: string;
  readonly measured: string;
  readonly evidence: string;
}

export interface EndpointSighting {
  readonly vantage: string;
  /** Start of the run it is from; with `vantage` it names one of `evidence`. Absent where no address was asked. */
  readonly at?: string | undefined;
  readonly own?: boolean | undefined;
  readonly reachReason?: string | undefined;
  readonly mend?: { readonly add: string; readonly remove: string } | undefined;
  readonly reach: Reach;
  readonly interface?: string | undefined;
  readonly macs: readonly string[];
  readonly presence: PresenceSighting;
  readonly icmp: IcmpSighting;
  readonly tcp: readonly TcpSighting[];
  readonly proofs: readonly ServiceProof[];
  readonly snmp: SnmpSighting;
  readonly identity: IdentitySighting;
  /** The port as the device's own agent tells it; `{}` where nothing is known. */
  readonly link: LinkSighting | Record<string, never>;
  readonly mtu: MtuSighting;
  readonly iscsi: IscsiSighting;
  /** Where the switches see this endpoint's MAC. */
  readonly cabling?:
    | { readonly switch: string; readonly port: string; readonly mac: string; readonly by: string }
    | undefined;
}

export interface EndpointResult {
  readonly id: string;
  readonly device: string;
  readonly controller: string;
  readonly port: string;
  readonly role: string;
  readonly network: string;
  readonly address: string;
  readonly group: string;
  readonly verdict: EndpointVerdict;
  readonly reasons: readonly string[];
  readonly sightings: readonly EndpointSighting[];
  readonly differences: readonly Difference[];
}

export interface DefaultResult {
  readonly address: string;
  readonly devices: readonly string[];
  readonly macs: readonly string[];
  readonly outcome: 'silent' | 'answers' | 'clash' | 'unproven';
  readonly reasons: readonly string[];
}

export interface StrangerResult {
  readonly address: string;
  readonly mac: string;
  readonly network: string;
  readonly maker?: string | undefined;
}

/** A thing that a path runs through. `kind`: controller, switch, network, feed, host-port, adapter, ... */
export interface Thing {
  readonly kind: string;
  readonly name: string;
}

export interface PathResult {
  /** Endpoint id, or `host endpoint id -> data endpoint id`. */
  readonly id: string;
  readonly endpoints: readonly string[];
  readonly things: readonly (Thing & { readonly source: 'planned' | 'measured' })[];
  /** Things of which the path needs any one: the feeds of a box that has several. */
  readonly either?: readonly (readonly Thing[])[] | undefined;
  readonly state: 'live' | 'dead' | 'unproven';
  readonly why?: string | undefined;
}

export interface GroupResult {
  readonly name: string;
  readonly need: number;
  readonly inferred: boolean;
  readonly planned: readonly string[];
  readonly live: readonly string[];
  readonly verdict: GroupVerdict;
  readonly reasons: readonly string[];
  readonly singlePoints: readonly Thing[];
  readonly pairs: readonly (readonly [Thing, Thing])[];
  readonly paths: readonly PathResult[];
  /** The same for the plan alone. */
  readonly asPlanned: {
    readonly verdict: GroupVerdict;
    readonly singlePoints: readonly Thing[];
    readonly pairs: readonly (readonly [Thing, Thing])[];
  };
  readonly availability?: { readonly planned: number; readonly found?: number | undefined } | undefined;
}

export interface ObservationResult {
  readonly subject: string;
  readonly item: string;
  readonly expect: string;
  readonly saw?: string | undefined;
  readonly by?: string | undefined;
  readonly at?: string | undefined;
  readonly verdict: 'matches' | 'differs' | 'open';
}

export interface NetworkCapacity {
  readonly network: string;
  readonly cidr: string;
  readonly usable: number;
  readonly planned: number;
  readonly reserved: number;
  readonly left: number;
}

export interface Summary {
  readonly matches: number;
  readonly differs: number;
  readonly missing: number;
  readonly unproven: number;
  readonly stop: number;
  readonly fix: number;
  readonly note: number;
}

/** What the judge makes of (plan, evidence). */
export interface Judgement {
  readonly endpoints: readonly EndpointResult[];
  readonly defaults: readonly DefaultResult[];
  readonly strangers: readonly StrangerResult[];
  readonly groups: readonly GroupResult[];
  readonly observations: readonly ObservationResult[];
  readonly findings: readonly Finding[];
}

export interface Matrix extends Judgement {
  readonly format: 'matchmark.matrix/1';
  readonly run: {
    readonly id: string;
    readonly startedAt: string;
    readonly finishedAt: string;
    readonly complete: boolean;
    readonly stage: 'power-on' | 'configured';
    readonly version: string;
    readonly only?: readonly string[] | undefined;
  };
  readonly plan: {
    readonly site: string;
    readonly reference?: string | undefined;
    readonly files: readonly { readonly name: string; readonly sha256: string }[];
    /** The normalised plan without any secret, so that a result can be judged and drawn again without the files. */
    readonly model: Omit<Plan, 'snmp'>;
  };
  readonly vantages: readonly {
    readonly name: string;
    readonly platform: string;
    readonly interfaces: readonly {
      readonly name: string;
      readonly mac: string;
      readonly addresses: readonly string[];
    }[];
  }[];
  readonly capacity: readonly NetworkCapacity[];
  readonly summary: Summary;
  /** The survey of `--since`, so that the result can be judged again against it. */
  readonly survey?: Survey | undefined;
  /** Everything seen, by vantage, for `combine` and `report`. Sightings of planned addresses stand at the endpoints. */
  readonly evidence: readonly Evidence[];
}
