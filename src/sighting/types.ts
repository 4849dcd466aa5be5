/**
 * What one vantage saw. Plain JSON-serialisable values: probes write them, the judge reads them, matrix.json keeps them.
 * Silence, refusal and "could not ask" are values here, never exceptions. Times are ISO 8601 UTC text.
 */

export type NotRun = {
  readonly outcome: 'not-run';
  readonly reason: string;
  readonly mend?: string | undefined;
};

/** DESIGN 2, "probe outcome". `unreachable` = an ICMP error or a local routing error said so (`detail` tells which). */
export type IcmpSighting =
  | {
      readonly outcome: 'replied';
      readonly rttMs: number;
      readonly sent: number;
      readonly received: number;
    }
  | { readonly outcome: 'no-reply'; readonly sent: number }
  | { readonly outcome: 'unreachable'; readonly detail: string; readonly by?: string | undefined }
  | NotRun;

export type TcpOutcome = 'accepted' | 'refused' | 'no-reply' | 'unreachable';

export type TcpSighting = {
  readonly port: number;
  /** IANA name or `tcp/8443`. */
  readonly service: string;
} & (
  | {
      readonly outcome: TcpOutcome;
      readonly connectMs?: number | undefined;
      readonly detail?: string | undefined;
    }
  | NotRun
);

/**
 * Proof that the service itself speaks, beyond an open port.
 * proven: the protocol answered as that protocol. other-protocol: something else speaks there. silent: port accepted
 * (or UDP asked) and nothing came. not-run: could not or need not be asked.
 */
export type ServiceProof = {
  readonly service: string;
  readonly protocol: 'tcp' | 'udp';
  readonly port: number;
  /** One short text of what was seen, already cleaned: "200 OK", "SSH-2.0-...", "SNMPv3 engine ...". */
  readonly detail?: string | undefined;
} & ({ readonly outcome: 'proven' | 'other-protocol' | 'silent' | 'refused' | 'unreachable' } | NotRun);

/** How an address was found present on the link. */
export type PresenceMethod = 'neighbour-table' | 'capture' | 'arping' | 'own-address';

export interface Claim {
  /** Lower case, colon separated: ar$sha of the answer. */
  readonly mac: string;
  readonly method: PresenceMethod;
  /** Ethernet source where it differs from `mac` (VRRP, proxy, relay). */
  readonly frameSource?: string | undefined;
  readonly vlan?: number | undefined;
  /** Milliseconds after the question. */
  readonly afterMs?: number | undefined;
  readonly count: number;
}

export type PresenceSighting =
  | {
      readonly outcome: 'claimed';
      readonly claims: readonly Claim[];
      readonly methods: readonly PresenceMethod[];
      /** Two different claimants seen for one address at the same time, or alternating (not a move of a virtual one: the judge decides). */
      readonly macs: readonly string[];
      /** How sure it is that there is no second claimant. */
      readonly duplicateCheck: 'proven' | 'likely' | 'not-excluded';
      readonly duplicateCheckReason?: string | undefined;
    }
  | { readonly outcome: 'unclaimed'; readonly methods: readonly PresenceMethod[]; readonly asked: number }
  | NotRun;

/** What the box says of itself, by source. All text is cleaned (no control or bidi characters) and cut. */
export interface IdentitySighting {
  readonly http?: HttpIdentity | undefined;
  readonly https?: HttpIdentity | undefined;
  readonly certificate?: CertificateIdentity | undefined;
  readonly ssh?: { readonly line: string; readonly port: number } | undefined;
  readonly snmp?: SnmpIdentity | undefined;
  readonly redfish?: RedfishIdentity | undefined;
  /** Facts that were not the same in two connections of this run: "ssh line", "certificate fingerprint", ... */
  readonly changed?:
    | readonly { readonly what: string; readonly first: string; readonly later: string }[]
    | undefined;
}

export interface HttpIdentity {
  readonly port: number;
  readonly status: number;
  readonly title?: string | undefined;
  readonly server?: string | undefined;
  readonly location?: string | undefined;
}

export interface CertificateIdentity {
  readonly port: number;
  readonly subject: string;
  readonly issuer: string;
  readonly altNames: readonly string[];
  /** Lower-case hex SHA-256 of the DER, colon separated. */
  readonly fingerprint256: string;
  readonly validFrom: string;
  readonly validTo: string;
  readonly selfSigned: boolean;
}

export interface SnmpIdentity {
  readonly sysName?: string | undefined;
  readonly sysDescr?: string | undefined;
  readonly sysObjectId?: string | undefined;
  readonly sysLocation?: string | undefined;
  readonly sysContact?: string | undefined;
  readonly upTimeTicks?: number | undefined;
  /** entPhysicalSerialNum of the chassis rows, then of others. */
  readonly serials?: readonly string[] | undefined;
  readonly engineId?: string | undefined;
}

export interface RedfishIdentity {
  readonly uuid?: string | undefined;
  readonly product?: string | undefined;
  readonly vendor?: string | undefined;
  readonly redfishVersion?: string | undefined;
}

/** How the SNMP question as a whole went for this address. */
export type SnmpSighting =
  | { readonly outcome: 'replied'; readonly version: '1' | '2c' | '3'; readonly credential: string }
  | {
      readonly outcome: 'no-reply' | 'refused' | 'unreachable' | 'rejected';
      readonly credential: string;
      readonly detail?: string | undefined;
    }
  | NotRun;

/** Path MTU by don't-fragment echo. Sizes are IP MTU in octets. */
export type MtuSighting =
  | { readonly outcome: 'passes'; readonly mtu: number }
  | {
      readonly outcome: 'smaller';
      readonly mtu: number;
      readonly asked: number;
      /** local = own interface refused; router = ICMP told; silent = large ones vanish (a switch). */
      readonly told: 'local' | 'router' | 'silent';
      readonly detail?: string | undefined;
    }
  | { readonly outcome: 'no-reply'; readonly asked: number }
  | NotRun;

/** One port as the device's own SNMP agent tells it (IF-MIB). */
export interface LinkSighting {
  readonly ifIndex: number;
  readonly ifName?: string | undefined;
  readonly ifDescr?: string | undefined;
  readonly ifType?: number | undefined;
  readonly mac?: string | undefined;
  readonly adminStatus?: LinkStatus | undefined;
  readonly operStatus?: LinkStatus | undefined;
  /** From ifHighSpeed, or ifSpeed where that is not saturated. */
  readonly speedMbps?: number | undefined;
  readonly mtu?: number | undefined;
  readonly addresses: readonly string[];
  /** fcmPortWwn, lower-case hex colon separated. */
  readonly wwn?: string | undefined;
}

export type LinkStatus = 'up' | 'down' | 'testing' | 'unknown' | 'dormant' | 'notPresent' | 'lowerLayerDown';

/** IF-MIB of one device, asked at one of its addresses. */
export interface DeviceLinks {
  readonly device: string;
  readonly controller?: string | undefined;
  readonly askedAt: string;
  readonly links: readonly LinkSighting[];
  readonly truncated?: string | undefined;
}

/** One switch's view of its ports, by BRIDGE-MIB / Q-BRIDGE-MIB and LLDP-MIB. */
export interface SwitchTables {
  /** Name of the plan's device. */
  readonly switch: string;
  readonly askedAt: string;
  readonly ports: readonly SwitchPort[];
  readonly forwarding: readonly ForwardingEntry[];
  readonly neighbours: readonly LldpNeighbour[];
  readonly ownMacs: readonly string[];
  readonly truncated?: string | undefined;
}

export interface SwitchPort {
  readonly bridgePort?: number | undefined;
  readonly ifIndex: number;
  readonly name: string;
  readonly descr?: string | undefined;
  readonly alias?: string | undefined;
  readonly ifType?: number | undefined;
  readonly operStatus?: LinkStatus | undefined;
  readonly speedMbps?: number | undefined;
  /** ifIndex of the aggregation group (ifType 161) this port is stacked under. */
  readonly aggregate?: number | undefined;
}

export interface ForwardingEntry {
  readonly mac: string;
  readonly ifIndex: number;
  /** VLAN where the filtering database could be mapped to one, else the fdbId is in `fdb`. */
  readonly vlan?: number | undefined;
  readonly fdb?: number | undefined;
  readonly status: 'other' | 'invalid' | 'learned' | 'self' | 'mgmt';
}

/** IEEE 802.1AB neighbour: from a captured frame or from LLDP-MIB. */
export interface LldpNeighbour {
  /** Local side: ifIndex and name on the switch that told it, or the laptop's interface name. */
  readonly localIfIndex?: number | undefined;
  readonly localPort: string;
  readonly chassisId: string;
  readonly chassisIdSubtype: string;
  readonly portId: string;
  readonly portIdSubtype: string;
  readonly portDescription?: string | undefined;
  readonly sysName?: string | undefined;
  readonly sysDescription?: string | undefined;
  readonly managementAddresses: readonly string[];
  readonly vlan?: number | undefined;
  readonly ttlSeconds?: number | undefined;
}

/** What an iSCSI discovery session at one portal told (RFC 7143 appendix C). */
export type IscsiSighting =
  | {
      readonly outcome: 'listed';
      readonly targets: readonly IscsiTarget[];
      /** TargetAddress values that are no address, cleaned. */
      readonly unreadable?: readonly string[] | undefined;
    }
  | {
      readonly outcome:
        | 'authentication-required'
        | 'redirected'
        | 'rejected'
        | 'not-iscsi'
        | 'half-open'
        | 'garbage'
        | 'refused'
        | 'no-reply'
        | 'unreachable';
      readonly detail?: string | undefined;
      /** Status class and detail as four hex digits where the peer sent one. */
      readonly status?: string | undefined;
    }
  | NotRun;

export interface IscsiTarget {
  readonly name: string;
  readonly portals: readonly IscsiPortal[];
}

export interface IscsiPortal {
  /** Canonical address, or the domain name as sent. */
  readonly address: string;
  readonly port: number;
  readonly tag?: number | undefined;
}

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

export interface VantageInterface {
  readonly name: string;
  readonly mac: string;
  /** `address/prefix`. */
  readonly addresses: readonly string[];
  readonly mtu?: number | undefined;
  readonly up: boolean;
}

export interface VantageRoute {
  /** `address/prefix`; default is `0.0.0.0/0` or `::/0`. */
  readonly destination: string;
  readonly interface: string;
  readonly gateway?: string | undefined;
}

export interface Vantage {
  readonly name: string;
  /** `linux`, `darwin`, `win32`, and the release text. */
  readonly platform: string;
  readonly interfaces: readonly VantageInterface[];
  readonly routes: readonly VantageRoute[];
  /** Routes could not be read: only on-link can be told, and why. */
  readonly routesUnknown?: string | undefined;
  readonly abilities: Abilities;
}

/** What this laptop can do. Each gap has a reason. `kit` shows it; the run chooses its methods by it. */
export interface Abilities {
  readonly ping: Ability & {
    readonly flavour?: 'iputils' | 'busybox' | 'bsd' | 'windows' | 'other' | undefined;
  };
  readonly capture: Ability & { readonly program?: 'tcpdump' | 'dumpcap' | undefined };
  readonly arping: Ability & { readonly flavour?: 'iputils' | 'habets' | 'busybox' | undefined };
  readonly neighbourTable: Ability;
  readonly privileged: boolean;
}

export type Ability =
  | { readonly able: true; readonly path?: string | undefined; readonly version?: string | undefined }
  | { readonly able: false; readonly reason: string; readonly mend?: string | undefined };

/** The question for an address the plan does not have, asked where one MAC claims three devices or more (DESIGN 6). */
export interface ProxyArpCheck {
  readonly network: string;
  readonly mac: string;
  readonly askedAddress: string;
  readonly answeredBy: readonly string[];
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
