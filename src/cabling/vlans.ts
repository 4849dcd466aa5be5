/** In which VLAN an endpoint is, by the switch that learned its MAC, by its port, or by the laptop's own port. */
import { claimsIn } from '../evidence/claim-index.js';
import type { Endpoint } from '../plan/model.js';
import type { Cables } from './cables.js';
import type { Placed } from './placed.js';
import type { PortAtSwitch } from './types.js';

export type VlanSeen =
  | {
      readonly kind: 'learned';
      readonly vlans: readonly number[];
      readonly mac: string;
      readonly switch: string;
      readonly vantage: string;
    }
  /** The VLAN of untagged frames at its port (dot1qPvid, RFC 4363). */
  | { readonly kind: 'port'; readonly vlan: number; readonly at: PortAtSwitch; readonly vantage: string }
  /** It answers ARP on a port of the laptop whose VLAN the switch there tells by LLDP. */
  | { readonly kind: 'laptop'; readonly vlan: number; readonly interface: string; readonly vantage: string };

/** The surest first; undefined where nothing tells it. */
export function vlanSeen(
  cables: Cables,
  placed: Placed,
  macs: readonly string[],
  end: PortAtSwitch | undefined,
): VlanSeen | undefined {
  return learned(cables, placed, macs) ?? laptop(cables, placed.endpoint) ?? port(cables, end);
}

function learned(cables: Cables, { endpoint, place }: Placed, macs: readonly string[]): VlanSeen | undefined {
  if (endpoint.virtual) return undefined;
  const near = place?.switch;
  const order = [...cables.switches.values()].sort(
    (a, b) => Number(b.name === near) - Number(a.name === near),
  );
  for (const mac of macs) {
    for (const one of order) {
      const vlans = [...new Set(one.entriesOf(mac).flatMap(({ vlan }) => vlan ?? []))].sort((a, b) => a - b);
      if (vlans.length > 0) return { kind: 'learned', vlans, mac, switch: one.name, vantage: one.vantage };
    }
  }
  return undefined;
}

function port(cables: Cables, end: PortAtSwitch | undefined): VlanSeen | undefined {
  if (end?.port.pvid === undefined || end.port.pvid === 0) return undefined;
  const vantage = cables.switches.get(end.switch)?.vantage ?? '';
  return { kind: 'port', vlan: end.port.pvid, at: end, vantage };
}

/** The laptop's port carries frames of one VLAN untagged; who answers ARP there is in it. */
function laptop(cables: Cables, { address }: Endpoint): VlanSeen | undefined {
  if (address === undefined || !claimsIn(cables.view).best(address).byDevice) return undefined;
  for (const { evidence, sighting } of cables.view.seen(address)) {
    const name = sighting.interface;
    if (sighting.own || sighting.reach !== 'on-link' || sighting.presence.outcome !== 'claimed') continue;
    if (name === undefined) continue;
    const told = new Set(
      evidence.ownNeighbours.filter(({ localPort }) => localPort === name).flatMap(({ vlan }) => vlan ?? []),
    );
    const [vlan] = told;
    if (vlan !== undefined && vlan !== 0 && told.size === 1)
      return { kind: 'laptop', vlan, interface: name, vantage: evidence.vantage.name };
  }
  return undefined;
}
