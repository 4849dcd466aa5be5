/** iSCSI portals: the lists of all answers of one device joined (DESIGN 6; RFC 7143 appendix C). */

import { parseAddress } from '../plan/address.js';
import type { Endpoint } from '../plan/model.js';
import type { IscsiPortal, IscsiSighting } from '../sighting/types.js';
import type { Cables } from './cables.js';

const ISCSI = ['iscsi-target', 'iscsi'];
/** RFC 7143 §4.2.7: the port of an iSCSI target where none is given. */
const ISCSI_PORT = 3260;

export interface ListedPortal {
  readonly address: string;
  readonly port: number;
  readonly tags: ReadonlySet<number>;
  readonly targets: ReadonlySet<string>;
  /** Endpoints whose answer had it. */
  readonly listers: ReadonlySet<string>;
}

export interface DevicePortals {
  /** By `address:port`. */
  readonly listed: ReadonlyMap<string, ListedPortal>;
  /** Portals that were given by a name, or as what is no address. */
  readonly names: ReadonlySet<string>;
  /** The device has listed a portal other than the one asked: what it leaves out is not there. */
  readonly showsOthers: boolean;
  /** A list was longer than what is kept. */
  readonly cut: boolean;
}

/** What became of one planned portal itself. */
export interface PortalSeen {
  readonly port: number;
  readonly name: string;
  readonly listed?: ListedPortal | undefined;
  /** It took a connection from anywhere. */
  readonly takesConnections: boolean;
  /** How the discovery session at the portal itself went, from the best-placed look that asked it. */
  readonly answer?: IscsiSighting | undefined;
  readonly vantage: string;
  readonly device: DevicePortals;
}

export function portalsOf(cables: Cables, device: string): DevicePortals {
  const listed = new Map<string, Building>();
  const names = new Set<string>();
  let showsOthers = false;
  let cut = false;
  for (const endpoint of cables.endpointsOf(device)) {
    for (const { sighting } of endpoint.address === undefined ? [] : cables.view.seen(endpoint.address)) {
      if (sighting.iscsi.outcome !== 'listed') continue;
      const askedPort = iscsiPorts(endpoint)[0] ?? ISCSI_PORT;
      cut ||= (sighting.iscsi.cut ?? 0) > 0;
      for (const text of sighting.iscsi.unreadable ?? []) names.add(text);
      for (const target of sighting.iscsi.targets) {
        // RFC 7143 appendix C: a target without TargetAddress is reached at the portal that was asked.
        const given: readonly IscsiPortal[] =
          target.portals.length > 0 ? target.portals : [{ address: sighting.address, port: askedPort }];
        for (const portal of given) {
          const address = parseAddress(portal.address);
          if (address === undefined) names.add(portal.address);
          else {
            add(listed, address, portal, target.name, endpoint.id);
            showsOthers ||= address !== sighting.address;
          }
        }
      }
    }
  }
  return { listed, names, showsOthers, cut };
}

interface Building extends ListedPortal {
  readonly tags: Set<number>;
  readonly targets: Set<string>;
  readonly listers: Set<string>;
}

function add(
  listed: Map<string, Building>,
  address: string,
  { port, tag }: IscsiPortal,
  target: string,
  lister: string,
): void {
  const key = portalName(address, port);
  const entry = listed.get(key) ?? {
    address,
    port,
    tags: new Set(),
    targets: new Set(),
    listers: new Set(),
  };
  if (tag !== undefined) entry.tags.add(tag);
  entry.targets.add(target);
  entry.listers.add(lister);
  listed.set(key, entry);
}

/** `198.51.100.11:3260`, `[2001:db8::11]:3260` (RFC 7143 §13.8). */
export function portalName(address: string, port: number): string {
  return address.includes(':') ? `[${address}]:${port}` : `${address}:${port}`;
}

function iscsiPorts(endpoint: Endpoint): number[] {
  return endpoint.services.filter(({ name }) => ISCSI.includes(name)).map(({ port }) => port);
}

/** The planned portal of a data endpoint; undefined where none is planned. */
export function portalSeen(
  cables: Cables,
  endpoint: Endpoint,
  device: DevicePortals,
): PortalSeen | undefined {
  const { address } = endpoint;
  if (address === undefined || endpoint.role !== 'data') return undefined;
  const ports = iscsiPorts(endpoint);
  const looks = cables.view.seen(address);
  const accepts = (port: number) =>
    looks.some(
      ({ sighting }) =>
        sighting.iscsi.outcome === 'listed' ||
        sighting.tcp.some((tcp) => tcp.port === port && tcp.outcome === 'accepted'),
    );
  const port = ports.find(accepts) ?? ports[0];
  if (port === undefined) return undefined;
  const look = looks.find(({ sighting }) => sighting.iscsi.outcome !== 'not-run') ?? looks[0];
  const name = portalName(address, port);
  return {
    port,
    name,
    listed: device.listed.get(name),
    takesConnections: accepts(port),
    answer: look?.sighting.iscsi,
    vantage: look?.evidence.vantage.name ?? '',
    device,
  };
}

/** Listed portals of the device that no endpoint of it is planned to be. */
export function unplannedPortals(cables: Cables, device: string, { listed }: DevicePortals): ListedPortal[] {
  const endpoints = cables.endpointsOf(device);
  return [...listed.values()].filter(
    (portal) => !endpoints.some((e) => e.address === portal.address && isPlannedPort(e, portal.port)),
  );
}

/** An endpoint that plans no iSCSI service by name is planned for whatever port the device lists. */
function isPlannedPort(endpoint: Endpoint, port: number): boolean {
  const ports = iscsiPorts(endpoint);
  return ports.length === 0 || ports.includes(port);
}

/** The endpoints whose list is wrong: those in the network of the portal, or all that listed it. */
export function listersNear(cables: Cables, portal: ListedPortal): string[] {
  const network = cables.view.networkAt(portal.address)?.name;
  const listers = cables.plan.endpoints.filter((endpoint) => portal.listers.has(endpoint.id));
  const near = listers.filter((endpoint) => network !== undefined && endpoint.network === network);
  return (near.length > 0 ? near : listers).map((endpoint) => endpoint.id);
}
