/** iSCSI portals: the lists of all answers of one device joined, against the plan (DESIGN 6; RFC 7143 appendix C). */

import { type Finding, finding } from '../findings/index.js';
import { parseAddress } from '../plan/address.js';
import type { Endpoint } from '../plan/model.js';
import type { IscsiPortal } from '../sighting/types.js';
import { list } from '../text/sentence.js';
import type { Ground } from './ground.js';
import type { Observed } from './types.js';

const ISCSI = ['iscsi-target', 'iscsi'];

interface Listed {
  readonly address: string;
  readonly port: number;
  readonly tags: Set<number>;
  readonly targets: Set<string>;
  /** Endpoints whose answer had it. */
  readonly listers: Set<string>;
}

export interface PortalJudgement {
  /** By endpoint id; the finding of an unplanned portal stands with the device, so it is in `findings` alone. */
  readonly endpoints: ReadonlyMap<string, Observed>;
  readonly findings: readonly Finding[];
}

export function judgePortals(ground: Ground, device: string): PortalJudgement {
  const endpoints = ground.endpointsOf(device);
  const portals = new Map<string, Listed>();
  const names = new Set<string>();
  let showsOthers = false;
  for (const endpoint of endpoints) {
    for (const { sighting } of endpoint.address === undefined ? [] : ground.view.seen(endpoint.address)) {
      if (sighting.iscsi.outcome !== 'listed') continue;
      const askedPort = portsOf(endpoint)[0] ?? 3260;
      for (const target of sighting.iscsi.targets) {
        // RFC 7143 appendix C: a target without TargetAddress is reached at the portal that was asked.
        const given: readonly IscsiPortal[] =
          target.portals.length > 0 ? target.portals : [{ address: sighting.address, port: askedPort }];
        for (const portal of given) {
          const address = parseAddress(portal.address);
          if (address === undefined) names.add(portal.address);
          else {
            add(portals, address, portal, target.name, endpoint.id);
            showsOthers ||= address !== sighting.address;
          }
        }
      }
    }
  }
  const observed = new Map<string, Observed>();
  const note = (id: string, more: Partial<Observed>) => {
    const known = observed.get(id);
    observed.set(id, {
      differences: [...(known?.differences ?? []), ...(more.differences ?? [])],
      reasons: [...(known?.reasons ?? []), ...(more.reasons ?? [])],
      findings: [...(known?.findings ?? []), ...(more.findings ?? [])],
    });
  };
  for (const endpoint of endpoints) {
    const portal = takesConnections(ground, endpoint);
    if (portal === undefined) continue;
    const entry = portals.get(nameOf(endpoint.address ?? '', portal));
    if (entry !== undefined) note(endpoint.id, { reasons: groupReason(entry) });
    else if (showsOthers) note(endpoint.id, missing(endpoint, portal, [...portals.keys()]));
    for (const name of names)
      note(endpoint.id, { reasons: [`the device lists a portal by name (${name}), which was not compared`] });
  }
  const findings: Finding[] = [];
  for (const portal of portals.values()) {
    if (endpoints.some((e) => e.address === portal.address && isPlannedPort(e, portal.port))) continue;
    const made = unplanned(ground, device, portal);
    findings.push(made);
    for (const id of nearest(ground, portal))
      note(id, {
        differences: [
          {
            field: 'portals',
            planned: 'only portals of the plan',
            measured: `lists ${nameOf(portal.address, portal.port)}`,
            evidence: made.evidence[0] ?? '',
          },
        ],
      });
  }
  return { endpoints: observed, findings };
}

function add(
  portals: Map<string, Listed>,
  address: string,
  { port, tag }: IscsiPortal,
  target: string,
  lister: string,
): void {
  const key = nameOf(address, port);
  const entry = portals.get(key) ?? {
    address,
    port,
    tags: new Set(),
    targets: new Set(),
    listers: new Set(),
  };
  if (tag !== undefined) entry.tags.add(tag);
  entry.targets.add(target);
  entry.listers.add(lister);
  portals.set(key, entry);
}

/** `198.51.100.11:3260`, `[2001:db8::11]:3260` (RFC 7143 §13.8). */
function nameOf(address: string, port: number): string {
  return address.includes(':') ? `[${address}]:${port}` : `${address}:${port}`;
}

function portsOf(endpoint: Endpoint): number[] {
  return endpoint.services.filter(({ name }) => ISCSI.includes(name)).map(({ port }) => port);
}

/** An endpoint that plans no iSCSI service by name is planned for whatever port the device lists. */
function isPlannedPort(endpoint: Endpoint, port: number): boolean {
  const ports = portsOf(endpoint);
  return ports.length === 0 || ports.includes(port);
}

/** The planned iSCSI port of a data endpoint that accepted a connection from anywhere. */
function takesConnections(ground: Ground, endpoint: Endpoint): number | undefined {
  if (endpoint.address === undefined || endpoint.role !== 'data') return undefined;
  const looks = ground.view.seen(endpoint.address);
  return portsOf(endpoint).find((port) =>
    looks.some(
      ({ sighting }) =>
        sighting.iscsi.outcome === 'listed' ||
        sighting.tcp.some((tcp) => tcp.port === port && tcp.outcome === 'accepted'),
    ),
  );
}

function groupReason({ tags }: Listed): string[] {
  return tags.size === 0 ? [] : [`listed as iSCSI portal, portal group ${list([...tags].map(String))}`];
}

function missing(endpoint: Endpoint, port: number, listed: readonly string[]): Observed {
  const portal = nameOf(endpoint.address ?? '', port);
  const evidence = `SendTargets=All at the portals of ${endpoint.device}, joined: ${list(listed, 16)}`;
  return {
    reasons: [],
    differences: [{ field: 'portals', planned: `lists ${portal}`, measured: 'not listed', evidence }],
    findings: [
      finding(
        'portal-missing',
        endpoint.id,
        { endpoint: endpoint.id, portal, listed },
        { evidence: [evidence], about: [endpoint.id] },
      ),
    ],
  };
}

function unplanned(ground: Ground, device: string, portal: Listed): Finding {
  const name = nameOf(portal.address, portal.port);
  const network = ground.view.networkAt(portal.address)?.name;
  const planned = ground.plan.endpoints.find((endpoint) => endpoint.address === portal.address);
  const keptFor =
    network === undefined
      ? []
      : ground.plan.endpoints
          .filter((e) => e.network === network && (e.role === 'data' || e.device === device))
          .map((e) => (e.controller === undefined ? e.device : `${e.device}/${e.controller}`));
  const targets = [...portal.targets];
  const listers = [...portal.listers];
  return finding(
    'portal-unplanned',
    device,
    {
      device,
      portal: name,
      targets,
      network,
      keptFor: [...new Set(keptFor)],
      plannedFor: planned === undefined ? undefined : planned.id,
    },
    {
      evidence: [`${name} listed for ${list(targets, 4)} in the answer of ${list(listers, 8)}`],
      about: listers,
    },
  );
}

/** The endpoints whose list is wrong: those in the network of the portal, or all that listed it. */
function nearest(ground: Ground, portal: Listed): string[] {
  const network = ground.view.networkAt(portal.address)?.name;
  const listers = ground.plan.endpoints.filter((endpoint) => portal.listers.has(endpoint.id));
  const near = listers.filter((endpoint) => network !== undefined && endpoint.network === network);
  return (near.length > 0 ? near : listers).map((endpoint) => endpoint.id);
}
