/** Terse builders of plans and sightings for tests of the pure folders. Defaults: everything there, everything as planned. */
import { cidrContains } from '../../src/plan/address.js';
import type {
  Device,
  Endpoint,
  Group,
  Network,
  Plan,
  PlannedService,
  SourceRef,
} from '../../src/plan/model.js';
import { parseService } from '../../src/plan/services.js';
import type {
  AddressSighting,
  Cause,
  Claim,
  Evidence,
  NotRun,
  PresenceSighting,
  ServiceProof,
  TcpOutcome,
  TcpSighting,
  Vantage,
} from '../../src/sighting/types.js';

export const AT: SourceRef = { file: 'test.yaml' };
export const T0 = '2030-01-02T03:04:05.000Z';
export const T1 = '2030-01-02T03:05:05.000Z';

export function notRun(
  reason = 'not asked in this test',
  mend?: string,
  cause: Cause = 'not-supported',
): NotRun {
  return { outcome: 'not-run', cause, reason, ...(mend === undefined ? {} : { mend }) };
}

/** `00:00:5e:00:53:NN`, the documentation range of RFC 9542 §2.1.4. */
export function mac(last: number): string {
  return `00:00:5e:00:53:${last.toString(16).padStart(2, '0')}`;
}

export function aNetwork(name: string, cidr?: string, more: Partial<Network> = {}): Network {
  return { name, cidr, routed: false, reserved: [], inUse: [], inferred: false, at: AT, ...more };
}

export function aDevice(name: string, more: Partial<Device> = {}): Device {
  return {
    name,
    feeds: [],
    defaultAddresses: [],
    macPrefixes: [],
    identity: {},
    controllers: {},
    existing: false,
    inferred: false,
    at: AT,
    ...more,
  };
}

type EndpointMore = Omit<Partial<Endpoint>, 'services'> & { services?: string | readonly PlannedService[] };

/** `anEndpoint('vault-1/A/mgmt', { address: '192.0.2.11', services: 'https ssh' })`. Role: management unless said. */
export function anEndpoint(id: string, more: EndpointMore = {}): Endpoint {
  const parts = id.split('/');
  const device = parts[0] ?? id;
  const controller = parts.length > 2 ? parts[1] : undefined;
  const port = parts[parts.length - 1] ?? id;
  const { services, ...rest } = more;
  return {
    id,
    device,
    controller,
    port,
    role: 'management',
    virtual: false,
    extra: {},
    at: AT,
    switchPorts: rest.switch === undefined ? [] : [{ switch: rest.switch, port: rest.switchPort }],
    ...rest,
    services: typeof services === 'string' ? planned(services) : (services ?? []),
  };
}

export function planned(text: string): PlannedService[] {
  return text
    .split(' ')
    .filter((word) => word !== '')
    .map((word) => {
      const service = parseService(word);
      if (service === undefined) throw new Error(`not a service: ${word}`);
      return service;
    });
}

export function aGroup(name: string, members: readonly string[], more: Partial<Group> = {}): Group {
  return { name, need: 1, independent: [], members, inferred: false, at: AT, ...more };
}

/**
 * Devices named by endpoints and not given are added; a network `mgmt` 192.0.2.0/24 is there unless networks are given,
 * and an endpoint without a network gets the one its address lies in; groups named by endpoints are made.
 */
export function aPlan(parts: {
  networks?: readonly Network[];
  devices?: readonly Device[];
  endpoints?: readonly Endpoint[];
  groups?: readonly Group[];
  observe?: readonly { subject: string; item: string; expect: string }[];
  snmp?: Plan['snmp'];
  site?: Plan['site'];
}): Plan {
  const networks = parts.networks ?? [aNetwork('mgmt', '192.0.2.0/24')];
  const endpoints = (parts.endpoints ?? []).map((endpoint) => {
    const address = endpoint.address;
    if (endpoint.network !== undefined || address === undefined) return endpoint;
    const home = networks.find((net) => net.cidr !== undefined && cidrContains(net.cidr, address));
    return { ...endpoint, network: home?.name };
  });
  const given = parts.devices ?? [];
  const known = new Set(given.map((device) => device.name));
  const added = [...new Set(endpoints.map((e) => e.device))].filter((name) => !known.has(name));
  const givenGroups = parts.groups ?? [];
  const groupNames = [...new Set(endpoints.flatMap((e) => (e.group === undefined ? [] : [e.group])))];
  const madeGroups = groupNames
    .filter((name) => !givenGroups.some((group) => group.name === name))
    .map((name) =>
      aGroup(
        name,
        endpoints.filter((e) => e.group === name).map((e) => e.id),
      ),
    );
  return {
    site: parts.site ?? { name: 'Test Hall' },
    networks,
    devices: [...given, ...added.map((name) => aDevice(name, { inferred: true }))],
    endpoints,
    groups: [...givenGroups, ...madeGroups],
    snmp: parts.snmp ?? {},
    observe: (parts.observe ?? []).map((o) => ({ ...o, at: AT })),
    vantages: [],
    availability: [],
    files: [{ name: 'test.yaml', sha256: '0'.repeat(64) }],
  };
}

export function aClaim(macText: string, more: Partial<Claim> = {}): Claim {
  return { mac: macText, method: 'capture', count: 1, ...more };
}

/** Claimed by these, looked at with a capture unless said. */
export function claimed(
  macs: readonly string[],
  more: Partial<Extract<PresenceSighting, { outcome: 'claimed' }>> = {},
): PresenceSighting {
  const method = more.methods?.[0] ?? 'capture';
  return {
    outcome: 'claimed',
    claims: macs.map((m) => aClaim(m, { method })),
    methods: [method],
    macs,
    duplicateCheck: 'proven',
    ...more,
  };
}

export const UNCLAIMED: PresenceSighting = { outcome: 'unclaimed', methods: ['neighbour-table'], asked: 3 };

export function aTcp(service: string, outcome: TcpOutcome | 'not-run' = 'accepted'): TcpSighting {
  const { name, port } = planned(service)[0] ?? { name: service, port: 0 };
  return outcome === 'not-run'
    ? { service: name, port, ...notRun() }
    : { service: name, port, outcome, ...(outcome === 'accepted' ? { connectMs: 1 } : {}) };
}

export function aProof(service: string, outcome: ServiceProof['outcome'], detail?: string): ServiceProof {
  const { name, port, protocol } = planned(service)[0] ?? {
    name: service,
    port: 0,
    protocol: 'tcp' as const,
  };
  const base = { service: name, port, protocol, ...(detail === undefined ? {} : { detail }) };
  return outcome === 'not-run' ? { ...base, ...notRun() } : { ...base, outcome };
}

type SightingMore = Partial<Omit<AddressSighting, 'presence'>> & {
  /** Shorthand for presence: claimed by this MAC or these, `false` = unclaimed. */
  by?: string | readonly string[] | false;
  /** Shorthand: TCP ports that accept and whose protocol is proven. */
  answers?: string;
  /** Shorthand: echo replied (true, the default where the address is claimed) or no reply (false). */
  echo?: boolean;
  presence?: PresenceSighting;
};

/** On the same link, claimed by 00:00:5e:00:53:01, echo replied, unless said. */
export function aSighting(address: string, more: SightingMore = {}): AddressSighting {
  const { by, answers, echo, presence: given, ...rest } = more;
  const onLink = (rest.reach ?? 'on-link') === 'on-link';
  const presence: PresenceSighting =
    given ??
    (by === false
      ? UNCLAIMED
      : by !== undefined
        ? claimed(typeof by === 'string' ? [by] : by)
        : onLink
          ? claimed([mac(1)])
          : notRun('not on this link'));
  const words = (answers ?? '').split(' ').filter((word) => word !== '');
  const tcpWords = words.filter((word) => planned(word)[0]?.protocol === 'tcp');
  const there = presence.outcome !== 'unclaimed' && rest.reach !== 'no-route';
  return {
    address,
    reach: 'on-link',
    own: false,
    presence,
    icmp: !there
      ? notRun('nobody claims the address')
      : (echo ?? true)
        ? { outcome: 'replied', rttMs: 0.4, sent: 2, received: 2 }
        : { outcome: 'no-reply', sent: 2 },
    tcp: tcpWords.map((word) => aTcp(word)),
    proofs: words.map((word) => aProof(word, 'proven')),
    snmp: notRun('no credential'),
    identity: {},
    mtu: notRun('no MTU planned'),
    iscsi: notRun('no iSCSI planned'),
    ...rest,
  };
}

export function aVantage(more: Partial<Vantage> = {}): Vantage {
  return {
    name: 'bench',
    platform: 'linux test',
    interfaces: [{ name: 'eth0', mac: mac(0xfe), addresses: ['192.0.2.250/24'], up: true }],
    routes: [],
    abilities: {
      ping: { able: true },
      capture: { able: true, program: 'tcpdump' },
      arping: { able: false, reason: 'not needed' },
      neighbourTable: { able: true },
      privileged: true,
    },
    ...more,
  };
}

export function anEvidence(
  parts: Omit<Partial<Evidence>, 'vantage'> & { vantage?: Partial<Vantage> } = {},
): Evidence {
  const { vantage, ...rest } = parts;
  return {
    vantage: aVantage(vantage),
    startedAt: T0,
    finishedAt: T1,
    stage: 'configured',
    complete: true,
    sightings: [],
    links: [],
    switches: [],
    fabrics: [],
    power: [],
    ownNeighbours: [],
    ownClaimed: [],
    proxyArp: [],
    attestations: [],
    drills: [],
    notes: [],
    ...rest,
  };
}
