/** Everything one run from one vantage saw: input of the judge, kept in matrix.json. */
import type {
  IcmpSighting,
  IscsiSighting,
  MtuSighting,
  ServiceProof,
  SnmpSighting,
  TcpSighting,
} from './answers.js';
import type { IdentitySighting } from './identity.js';
import type { PresenceSighting, ProxyArpCheck } from './presence.js';
import type { DeviceLinks, LldpNeighbour, SwitchTables } from './tables.js';
import type { Vantage } from './vantage.js';

export type Reach = 'on-link' | 'routed' | 'no-route';

/** Everything one vantage saw of one address. */
export interface AddressSighting {
  readonly address: string;
  readonly reach: Reach;
  /** Interface that the question left (or would have left) by. */
  readonly interface?: string | undefined;
  /** Why reach is `no-route`, or why a probe could prove nothing; with the command that mends it where there is one. */
  readonly reachReason?: string | undefined;
  readonly mend?: { readonly add: string; readonly remove: string } | undefined;
  /** The address is the laptop's own. */
  readonly own: boolean;
  readonly presence: PresenceSighting;
  readonly icmp: IcmpSighting;
  readonly tcp: readonly TcpSighting[];
  readonly proofs: readonly ServiceProof[];
  readonly snmp: SnmpSighting;
  readonly identity: IdentitySighting;
  readonly mtu: MtuSighting;
  readonly iscsi: IscsiSighting;
}

/** Everything one run from one vantage saw. Input of the judge, kept in matrix.json. */
export interface Evidence {
  readonly vantage: Vantage;
  readonly startedAt: string;
  readonly finishedAt: string;
  readonly stage: 'power-on' | 'configured';
  /** `--only`: devices that were looked at; absent = all. */
  readonly only?: readonly string[] | undefined;
  readonly complete: boolean;
  /** One per address asked: planned, default, and swept ones that answered. */
  readonly sightings: readonly AddressSighting[];
  readonly links: readonly DeviceLinks[];
  readonly switches: readonly SwitchTables[];
  /** LLDP frames seen on the laptop's own ports. */
  readonly ownNeighbours: readonly LldpNeighbour[];
  readonly proxyArp: readonly ProxyArpCheck[];
  readonly attestations: readonly Attestation[];
  readonly drills: readonly DrillRecord[];
  /** Things about the run itself that the reader must know: a capture that ended early, a paced-down device, ... */
  readonly notes: readonly string[];
}

export interface Attestation {
  readonly subject: string;
  readonly item: string;
  readonly saw: string;
  readonly by: string;
  readonly at: string;
}

export interface DrillRecord {
  readonly group: string;
  readonly pulled: { readonly kind: string; readonly name: string };
  readonly outcome: 'survived' | 'lost' | 'skipped' | 'aborted' | 'not-noticed';
  /** How many steps the drill had that this record is from, those that were never reached included. */
  readonly ofSteps?: number | undefined;
  readonly by: string;
  readonly startedAt: string;
  readonly finishedAt: string;
  /** Probe interval in ms: the gaps are known no better than this. */
  readonly resolutionMs: number;
  readonly gaps: readonly {
    readonly endpoint: string;
    readonly gapMs: number;
    readonly returned: boolean;
  }[];
}
