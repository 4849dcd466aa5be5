/** Which row of a device's IF-MIB is the planned endpoint. */
import type { Endpoint } from '../plan/model.js';
import type { LinkSighting } from '../sighting/types.js';
import type { AgentLinks, Cables } from './cables.js';

const SOFTWARE_LOOPBACK = 24;

export interface FoundLink {
  readonly link: LinkSighting;
  /** `vault-1 (asked at 192.0.2.11)`. */
  readonly by: string;
  readonly matchedBy: 'interface' | 'address' | 'MAC' | 'port name';
  readonly vantage: string;
}

/**
 * By the planned `interface` (ifName, then ifDescr), else by the planned Fibre Channel port name, else by the planned address, else
 * by the planned MAC where one port alone has it. A name such as `eth2` is trusted from the agent of the endpoint's own controller only: the other
 * controller has an `eth2` too. Addresses and MACs are trusted from every agent of the device.
 */
export function findLink(cables: Cables, endpoint: Endpoint): FoundLink | undefined {
  const agents = cables.links.get(endpoint.device) ?? [];
  const siblings = cables.endpointsOf(endpoint.device);
  const own = agents.filter((links) => speaksFor(links, endpoint, siblings));
  const wanted = endpoint.interface;
  if (wanted !== undefined) {
    const found = first(own, (link) => sameName(link.ifName, wanted), 'interface');
    return found ?? first(own, (link) => sameName(link.ifDescr, wanted), 'interface');
  }
  const all = [...own, ...agents.filter((links) => !own.includes(links))];
  const { address, mac, wwpn } = endpoint;
  const byName = wwpn === undefined ? undefined : first(all, (link) => link.wwn === wwpn, 'port name');
  if (byName !== undefined) return byName;
  const byAddress =
    address === undefined || endpoint.virtual
      ? undefined
      : first(all, (link) => link.addresses.includes(address), 'address');
  if (byAddress !== undefined || mac === undefined) return byAddress;
  return first(all, (link) => link.mac === mac, 'MAC');
}

/** The agent is that of the endpoint's controller, or nothing says that it is another's. */
function speaksFor(links: AgentLinks, endpoint: Endpoint, siblings: readonly Endpoint[]): boolean {
  const controller = links.controller ?? siblings.find((e) => e.address === links.askedAt)?.controller;
  if (controller === undefined || endpoint.controller === undefined) return true;
  return controller === endpoint.controller || isOnlyOneWith(endpoint, siblings);
}

/** No other controller of the device has a port that may go by this interface name, so the name alone tells it. */
function isOnlyOneWith(endpoint: Endpoint, siblings: readonly Endpoint[]): boolean {
  const name = endpoint.interface ?? '';
  return !siblings.some(
    (other) =>
      other.controller !== endpoint.controller &&
      (sameName(other.interface, name) ||
        (other.interface === undefined && sameName(other.port, endpoint.port))),
  );
}

function first(
  agents: readonly AgentLinks[],
  fits: (link: LinkSighting) => boolean,
  matchedBy: FoundLink['matchedBy'],
): FoundLink | undefined {
  for (const agent of agents) {
    const matches = agent.links.filter((link) => link.ifType !== SOFTWARE_LOOPBACK && fits(link));
    const [link] = matches;
    // Members of an aggregation group and VLAN interfaces share one MAC: then it tells nothing.
    if (link !== undefined && matches.length === 1)
      return { link, by: `${agent.device} (asked at ${agent.askedAt})`, matchedBy, vantage: agent.vantage };
  }
  return undefined;
}

function sameName(name: string | undefined, wanted: string): boolean {
  return name !== undefined && name.trim().toLowerCase() === wanted.trim().toLowerCase();
}
