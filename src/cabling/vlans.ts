/** In which VLAN an endpoint is, by the switch that learned its MAC, by its port, or by the laptop's own port. */
import { claimsIn } from '../evidence/memo.js';
import type { Endpoint } from '../plan/model.js';
import type { Ground } from './ground.js';
import type { Placed } from './placed.js';
import type { Hole } from './types.js';

export type VlanSeen =
  | {
      readonly kind: 'learned';
      readonly vlans: readonly number[];
      readonly mac: string;
      readonly switch: string;
      readonly vantage: string;
    }
  /** The VLAN of untagged frames at its port (dot1qPvid, RFC 4363). */
  | { readonly kind: 'port'; readonly vlan: number; readonly hole: Hole; readonly vantage: string }
  /** It answers ARP on a port of the laptop whose VLAN the switch there tells by LLDP. */
  | { readonly kind: 'laptop'; readonly vlan: number; readonly interface: string; readonly vantage: string };

/** The surest first; undefined where nothing tells it. */
export function vlanSeen(
  ground: Ground,
  placed: Placed,
  macs: readonly string[],
  end: Hole | undefined,
): VlanSeen | undefined {
  return learned(ground, placed, macs) ?? laptop(ground, placed.endpoint) ?? port(ground, end);
}

function learned(ground: Ground, { endpoint, place }: Placed, macs: readonly string[]): VlanSeen | undefined {
  if (endpoint.virtual) return undefined;
  const near = place?.switch;
  const order = [...ground.switches.values()].sort(
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

function port(ground: Ground, end: Hole | undefined): VlanSeen | undefined {
  if (end?.port.pvid === undefined || end.port.pvid === 0) return undefined;
  const vantage = ground.switches.get(end.switch)?.vantage ?? '';
  return { kind: 'port', vlan: end.port.pvid, hole: end, vantage };
}

/** The laptop's port carries frames of one VLAN untagged; who answers ARP there is in it. */
function laptop(ground: Ground, { address }: Endpoint): VlanSeen | undefined {
  if (address === undefined || !claimsIn(ground.view).best(address).byBox) return undefined;
  for (const { evidence, sighting } of ground.view.seen(address)) {
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
