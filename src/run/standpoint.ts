/** How this place stands to one address, with the way to get nearer where it is not on the link. Pure. */
import { canonicalCidr, familyOf, hostOf, needsZone } from '../plan/address.js';
import type { Plan } from '../plan/model.js';
import { indexOf } from '../plan/plan-index.js';
import type { AddressSighting, LldpNeighbour, Vantage } from '../sighting/types.js';
import { bestPort } from '../vantage/best-port.js';
import { type AddressCommands, addressCommands, otherVlan, type TakenAddresses } from '../vantage/mend.js';
import { reachOf } from '../vantage/reach.js';
import type { Standpoint } from './blank.js';

/** Networks that no plan names are taken as this large: what a factory default comes with (common practice, no source). */
const ASSUMED_BITS = { 4: 24, 6: 64 } as const;

export function standpointFinder(
  platform: string,
  vantage: Vantage,
  plan: Plan,
): (address: string) => Standpoint {
  const taken = takenAddresses(plan);
  const here = vantage.from === undefined ? 'this laptop' : vantage.name;
  const commands = new Map<string, AddressCommands>();
  const commandsFor = (cidr: string, vlan: number | undefined): AddressCommands => {
    const known = commands.get(cidr) ?? addressCommands(platform, vantage, cidr, taken, { vlan });
    commands.set(cidr, known);
    return known;
  };
  return (address) => {
    const network = indexOf(plan).networkAt(address);
    const planned = network?.inferred === true ? undefined : network?.cidr;
    const near = nearbyNetworks(plan, address);
    const { reach, own, reason, cause, widerThanPlanned, ...way } = reachOf(vantage, address, planned, near);
    const at = { reach, own, ...(way.interface === undefined ? {} : { interface: way.interface }) };
    if (reach === 'on-link') {
      if (network?.cidr === undefined || widerThanPlanned === undefined) return at;
      const nearer = commandsFor(network.cidr, network.vlan);
      return {
        ...at,
        reachReason: `this laptop has ${widerThanPlanned}, which takes in more than ${network.name} (${network.cidr}): it asks on its own cable for what may lie elsewhere. ${nearer.why}`,
        ...(nearer.possible ? { mend: { add: nearer.add, remove: nearer.remove } } : {}),
      };
    }
    // Another address would help nobody: it takes the port.
    if (needsZone(address))
      return { ...at, reachReason: reason, ...(cause === undefined ? {} : { reachCause: cause }) };
    // A port that has such an address and no link needs its cable, not another address.
    if (reach === 'no-route' && way.interface !== undefined && reason !== undefined)
      return { ...at, reachReason: network === undefined ? reason : `${network.name}: ${reason}` };
    const cidr = network?.cidr ?? canonicalCidr(`${address}/${ASSUMED_BITS[familyOf(address)]}`);
    const mend = commandsFor(cidr, network?.vlan);
    const name = network === undefined ? cidr : `${network.name} (${cidr})`;
    const away =
      reach === 'no-route'
        ? `${here} has no address in ${name}, and no router leads there`
        : `${name} is behind a router from ${vantage.from === undefined ? 'here' : here}${reason === undefined ? '' : `: ${reason}`}`;
    return {
      ...at,
      reachReason: mend.possible ? `${away}. ${mend.why}` : `${away}; ${mend.why}`,
      ...(mend.possible ? { mend: { add: mend.add, remove: mend.remove } } : {}),
    };
  };
}

/** Networks on the same cable as a link-local address: what its endpoint names, and those that it is the gateway of. */
export function nearbyNetworks(plan: Plan, address: string): readonly string[] {
  if (!needsZone(address)) return [];
  const index = indexOf(plan);
  const networks = [
    ...index.at(address).flatMap((endpoint) => index.networkOf(endpoint) ?? []),
    ...plan.networks.filter(({ gateway }) => gateway === address),
  ];
  return networks.flatMap(({ cidr }) => (cidr === undefined || needsZone(hostOf(cidr)) ? [] : [cidr]));
}

/** What the switch said of the laptop's own port, once it is known: where a second address would not help, no command is offered. */
export function withSwitchWord(
  sighting: AddressSighting,
  plan: Plan,
  vantage: Vantage,
  ownNeighbours: readonly LldpNeighbour[],
): AddressSighting {
  const { mend, ...rest } = sighting;
  if (mend === undefined || ownNeighbours.length === 0) return sighting;
  const network = indexOf(plan).networkAt(rest.address);
  const why = otherVlan(network?.vlan, ownNeighbours, bestPort(vantage.interfaces)?.name ?? '');
  if (why === undefined) return sighting;
  return { ...rest, reachReason: `this laptop is not in ${network?.name}: ${why}` };
}

function takenAddresses(plan: Plan): TakenAddresses {
  return {
    addresses: [...indexOf(plan).addresses],
    ranges: plan.networks.flatMap(({ reserved }) => reserved),
  };
}
