/**
 * The plan as the whole program sees it: normalised, references resolved, every value with one meaning.
 * Readers of files (src/plan-file) build it; nothing else does. Pure data, no I/O.
 */
import type { SecretRef } from './secret.js';

/** Where something stands in what the user wrote. `row` and `line` count from 1; `column` is the header text or key path. */
export interface SourceRef {
  readonly file: string;
  readonly sheet?: string | undefined;
  readonly line?: number | undefined;
  readonly row?: number | undefined;
  readonly column?: string | undefined;
}

export const ROLES = ['management', 'data', 'host', 'switch', 'power', 'other'] as const;
export type Role = (typeof ROLES)[number];

/** Steps of a visit at which something can be looked at, in their order. */
export const STEPS = ['unpacked', 'racked', 'cabled', 'powered', 'configured', 'handover'] as const;
export type Step = (typeof STEPS)[number];

export const MEDIA = ['copper', 'fibre', 'fc'] as const;
export type Media = (typeof MEDIA)[number];

/** One transport service an endpoint should offer. `name` is the IANA name, or `tcp/8443` for a bare port. */
export interface PlannedService {
  readonly name: string;
  readonly protocol: 'tcp' | 'udp';
  readonly port: number;
}

/** Inclusive range of addresses, canonical text, same family. */
export interface AddressRange {
  readonly first: string;
  readonly last: string;
}

export interface Network {
  readonly name: string;
  /** Canonical `address/prefix` with host bits zero. Absent for a Fibre Channel fabric. */
  readonly cidr?: string | undefined;
  readonly gateway?: string | undefined;
  readonly vlan?: number | undefined;
  /** The plan says that this network can be reached through a router from elsewhere. */
  readonly routed: boolean;
  readonly mtu?: number | undefined;
  readonly reserved: readonly AddressRange[];
  /** Addresses that others on the site already have. */
  readonly inUse: readonly AddressRange[];
  /** True where the network was not written but taken from the address list's prefixes. */
  readonly inferred: boolean;
  readonly at: SourceRef;
}

/** Patterns are literal text with `*` for any run of characters, compared without case. Absent or "" = not stated. */
export interface PlannedIdentity {
  readonly sysName?: string | undefined;
  readonly sysDescr?: string | undefined;
  readonly serial?: string | undefined;
  readonly title?: string | undefined;
  readonly server?: string | undefined;
  readonly certificate?: string | undefined;
  readonly ssh?: string | undefined;
  readonly uuid?: string | undefined;
  readonly product?: string | undefined;
  readonly vendor?: string | undefined;
}

export interface Device {
  readonly name: string;
  readonly rack?: string | undefined;
  /** Rack units, counted from 1 at the bottom; `from` <= `to`. */
  readonly units?: { readonly from: number; readonly to: number } | undefined;
  readonly feeds: readonly string[];
  readonly defaultAddresses: readonly string[];
  /** Lower case, colon separated, any whole number of octets. */
  readonly macPrefixes: readonly string[];
  readonly identity: PlannedIdentity;
  readonly controllers: Readonly<Record<string, PlannedIdentity>>;
  /** Name of a credential in `plan.snmp`. */
  readonly snmp?: string | undefined;
  /** Stood there before the visit: it may answer in a survey. */
  readonly existing: boolean;
  /** True where the device stands in no `devices` list, only in the address list. */
  readonly inferred: boolean;
  readonly at: SourceRef;
}

/** Where one cable of an endpoint ends. */
export interface PlannedSwitchPort {
  readonly switch: string;
  readonly port?: string | undefined;
}

export interface Endpoint {
  /** `device/controller/port`, or `device/port` where there is no controller. Unique in a plan. */
  readonly id: string;
  readonly device: string;
  readonly controller?: string | undefined;
  readonly port: string;
  readonly role: Role;
  /** Name of a network of the plan. */
  readonly network?: string | undefined;
  /** Canonical address text (IPv4 dotted, IPv6 RFC 5952), without prefix. */
  readonly address?: string | undefined;
  /** The prefix length that the row itself gave. */
  readonly prefixBits?: number | undefined;
  /** Lower case, colon separated. */
  readonly mac?: string | undefined;
  /** Fibre Channel port name: 16 hex digits, lower case, colon separated. */
  readonly wwpn?: string | undefined;
  readonly media?: Media | undefined;
  readonly services: readonly PlannedService[];
  readonly group?: string | undefined;
  /** The first member of `switchPorts`, for those who look at one cable. */
  readonly switch?: string | undefined;
  readonly switchPort?: string | undefined;
  /** One for each member of an aggregated link, one for a single cable, none where no switch is planned. */
  readonly switchPorts: readonly PlannedSwitchPort[];
  readonly speedMbps?: number | undefined;
  readonly mtu?: number | undefined;
  readonly interface?: string | undefined;
  /** May move between devices: two owners over time are no duplicate. */
  readonly virtual: boolean;
  readonly defaultAddress?: string | undefined;
  readonly snmp?: string | undefined;
  readonly note?: string | undefined;
  /** Columns that the model has no place for: header -> text. */
  readonly extra: Readonly<Record<string, string>>;
  readonly at: SourceRef;
}

export interface Group {
  readonly name: string;
  /** How many paths have to work for the group to work. */
  readonly need: number;
  /** Kinds of things that the paths must not share: controller, switch, network, feed, or a column of the address list. */
  readonly independent: readonly string[];
  /** Host side: device whose `host` endpoints start the paths. */
  readonly from?: string | undefined;
  /** Array side: name of the group whose endpoints end the paths. Present exactly when `from` is. */
  readonly to?: string | undefined;
  /** Endpoint ids that carry this group's name. Empty for a `from`/`to` group. */
  readonly members: readonly string[];
  /** True where nobody wrote the group and common practice suggested it. */
  readonly inferred: boolean;
  readonly at: SourceRef;
}

export interface SnmpCredential {
  readonly name: string;
  readonly version: '1' | '2c' | '3';
  readonly port: number;
  readonly community?: SecretRef | undefined;
  readonly user?: string | undefined;
  readonly level?: 'noAuthNoPriv' | 'authNoPriv' | 'authPriv' | undefined;
  readonly auth?: 'md5' | 'sha' | 'sha224' | 'sha256' | 'sha384' | 'sha512' | undefined;
  readonly authKey?: SecretRef | undefined;
  readonly priv?: 'des' | 'aes' | 'aes256b' | 'aes256r' | undefined;
  readonly privKey?: SecretRef | undefined;
  readonly at: SourceRef;
}

/** What only eyes can prove. */
export interface PlannedObservation {
  readonly subject: string;
  readonly item: string;
  readonly expect: string;
  /** The step of the visit at which it can be seen first. */
  readonly when?: Step | undefined;
  readonly at: SourceRef;
}

/** Another place that the network is looked at from. */
export interface PlannedVantage {
  readonly name: string;
  /** `ssh://user@host[:port]`. */
  readonly ssh: string;
  readonly at: SourceRef;
}

/** Availability that the user states for one thing, or for every thing of a kind (`name` absent). 0 < value <= 1. */
export interface StatedAvailability {
  readonly kind: string;
  readonly name?: string | undefined;
  readonly value: number;
  readonly at: SourceRef;
}

export interface PlanFileRef {
  readonly name: string;
  readonly sha256: string;
}

export interface Plan {
  readonly site: { readonly name: string; readonly reference?: string | undefined };
  readonly networks: readonly Network[];
  readonly devices: readonly Device[];
  readonly endpoints: readonly Endpoint[];
  readonly groups: readonly Group[];
  readonly snmp: Readonly<Record<string, SnmpCredential>>;
  readonly observe: readonly PlannedObservation[];
  readonly vantages: readonly PlannedVantage[];
  readonly availability: readonly StatedAvailability[];
  readonly files: readonly PlanFileRef[];
}
