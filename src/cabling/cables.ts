/** What every question about cabling needs, arranged once. */

import { claimedBy } from '../evidence/claims.js';
import { anyAnswer } from '../evidence/responses.js';
import type { View } from '../evidence/view.js';
import { isVirtualRouterMac } from '../plan/mac.js';
import type { Device, Endpoint, Plan } from '../plan/model.js';
import type { DeviceLinks } from '../sighting/types.js';
import { type Fabrics, fabricsOf } from './fabric.js';
import { type Neighbours, neighboursOf } from './lldp.js';
import { type SwitchView, switchesOf } from './switches.js';

/** What one agent of a device told, and from where it was asked. */
export type AgentLinks = DeviceLinks & { readonly vantage: string };

export interface Cables {
  readonly view: View;
  readonly plan: Plan;
  readonly switches: ReadonlyMap<string, SwitchView>;
  /** Device -> the latest answer of each of its agents. */
  readonly links: ReadonlyMap<string, readonly AgentLinks[]>;
  readonly neighbours: Neighbours;
  readonly fabrics: Fabrics;
  device(name: string): Device | undefined;
  endpointsOf(device: string): readonly Endpoint[];
  /** The one MAC seen at the endpoint's address, where it tells this endpoint from others. */
  seenMac(endpoint: Endpoint): string | undefined;
  /** Its address gave an answer that no router, firewall or other planned MAC gives for it. */
  answers(endpoint: Endpoint): boolean;
}

export function cablesIn(view: View): Cables {
  const { plan } = view;
  const byDevice = new Map<string, Endpoint[]>();
  const claimant = new Map<string, string>();
  const claimedAt = new Map<string, Endpoint[]>();
  for (const endpoint of plan.endpoints) {
    byDevice.set(endpoint.device, [...(byDevice.get(endpoint.device) ?? []), endpoint]);
    if (endpoint.address === undefined || endpoint.virtual) continue;
    const { claimants } = claimedBy(view, view.seen(endpoint.address));
    for (const { mac } of claimants) claimedAt.set(mac, [...(claimedAt.get(mac) ?? []), endpoint]);
    const [only] = claimants;
    if (only !== undefined && claimants.length === 1) claimant.set(endpoint.id, only.mac);
  }
  const plannedMacs = new Map(plan.endpoints.flatMap((e) => (e.mac === undefined ? [] : [[e.mac, e.id]])));
  const devices = new Map(plan.devices.map((device) => [device.name, device]));
  const switches = switchesOf(view);
  return {
    view,
    plan,
    switches,
    neighbours: neighboursOf(switches.values()),
    fabrics: fabricsOf(view),
    device: (name) => devices.get(name),
    links: latestLinks(view),
    endpointsOf: (device) => byDevice.get(device) ?? [],
    seenMac: (endpoint) => {
      const mac = claimant.get(endpoint.id);
      if (mac === undefined || isVirtualRouterMac(mac)) return undefined;
      // The planned MAC of another endpoint, or one that answers for endpoints in several ports, tells nothing of this one.
      if ((plannedMacs.get(mac) ?? endpoint.id) !== endpoint.id) return undefined;
      const others = claimedAt.get(mac) ?? [];
      const inOnePort = others.every(
        (other) => other.switch === endpoint.switch && other.switchPort === endpoint.switchPort,
      );
      return inOnePort ? mac : undefined;
    },
    answers: (endpoint) => {
      if (endpoint.address === undefined || endpoint.virtual) return false;
      const holder = claimant.get(endpoint.id);
      if (endpoint.mac !== undefined && holder !== undefined && holder !== endpoint.mac) return false;
      // A refusal is left out: a firewall refuses for the absent.
      return view
        .seen(endpoint.address)
        .some(
          ({ sighting, responses }) =>
            !sighting.own && anyAnswer(responses.filter(({ refusal }) => refusal === undefined)),
        );
    },
  };
}

function latestLinks(view: View): Map<string, AgentLinks[]> {
  const byAgent = new Map<string, AgentLinks>();
  const inOrder = [...view.evidence].sort((a, b) => (a.finishedAt < b.finishedAt ? -1 : 1));
  for (const { links: told, vantage } of inOrder)
    for (const links of told)
      if (links.links.length > 0)
        byAgent.set(`${links.device} ${links.askedAt}`, { ...links, vantage: vantage.name });
  const byDevice = new Map<string, AgentLinks[]>();
  for (const links of byAgent.values())
    byDevice.set(links.device, [...(byDevice.get(links.device) ?? []), links]);
  return byDevice;
}
