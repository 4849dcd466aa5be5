import { familyOf, hostOf, isLinkLocal } from '../plan/address.js';
import type { VantageInterface } from '../sighting/types.js';

/** Bridges, tunnels and the like of virtual machines, containers and VPNs (names by custom of the systems; no standard). */
const VIRTUAL =
  /^(docker|br-|veth|virbr|vnet|tun|tap|utun|awdl|llw|ap\d|anpi|gif|stf|bridge|vmnet|wg|dummy|bond_slave|ifb|sit|ip6tnl|nlmon)|vethernet|loopback|bluetooth|pseudo|isatap|teredo/i;
const WIRELESS = /^(wl|wwan|ath)|wi-?fi|wlan|wireless|airport/i;
const WIRED = /^(eth|en|em|lan|p\d+p)|ethernet|local area connection/i;

/** The port that a cable into the rack is most likely in: up, with a MAC, wired rather than wireless or made by software. */
export function bestPort(interfaces: readonly VantageInterface[]): VantageInterface | undefined {
  const candidates = interfaces.filter((port) => port.up && hasMac(port));
  const scored = candidates.map((port) => ({ port, score: scoreOf(port) }));
  return scored.sort((a, b) => b.score - a.score)[0]?.port;
}

/** An Ethernet-like port: ARP and capture make sense there. */
export function hasMac(port: VantageInterface): boolean {
  return port.mac !== '' && port.mac !== '00:00:00:00:00:00';
}

function scoreOf(port: VantageInterface): number {
  const { name } = port;
  // Where the system itself tells radio from wire, its name is not asked.
  const radio = port.wireless ?? WIRELESS.test(name);
  const kind = VIRTUAL.test(name) ? -8 : radio ? -4 : WIRED.test(name) || port.wireless === false ? 4 : 0;
  // An IPv4 address beyond link-local says that somebody set this port up for the visit.
  return kind + (port.addresses.some((text) => familyOf(text) === 4 && !isLinkLocal(hostOf(text))) ? 1 : 0);
}
