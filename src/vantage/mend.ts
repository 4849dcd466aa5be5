/** The command that puts this machine onto a network, and the one that takes it off again. Pure: it only writes text. */

import { blockOf, fromNumber, parseCidr, toNumber, usableRange } from '../plan/address.js';
import type { AddressRange } from '../plan/model.js';
import type { LldpNeighbour, Vantage, VantageInterface } from '../sighting/types.js';
import { commandText } from '../text/command-word.js';
import { bestPort } from './best-port.js';

/** Addresses of the plan and of this machine, with reserved ranges and gateways, that the new one must not be. */
export interface TakenAddresses {
  readonly addresses: readonly string[];
  readonly ranges?: readonly AddressRange[] | undefined;
}

export type AddressCommands =
  | {
      readonly possible: true;
      readonly add: string;
      readonly remove: string;
      readonly address: string;
      readonly interface: string;
      /** What to mind before doing it. */
      readonly why: string;
    }
  | { readonly possible: false; readonly why: string };

/** What more is known of the network and of the laptop's place. */
export interface Circumstance {
  /** VLAN of the planned network. */
  readonly vlan?: number | undefined;
  /** What switches said by LLDP on the laptop's own ports. */
  readonly ownNeighbours?: readonly LldpNeighbour[] | undefined;
}

/** `platform` as process.platform names it. */
export function addressCommands(
  platform: string,
  vantage: Pick<Vantage, 'interfaces'>,
  cidr: string,
  taken: TakenAddresses,
  { vlan, ownNeighbours = [] }: Circumstance = {},
): AddressCommands {
  const network = parseCidr(cidr);
  if (network === undefined) return { possible: false, why: `${cidr} is not a network` };
  const port = bestPort(vantage.interfaces);
  if (port === undefined)
    return { possible: false, why: 'no network port of this laptop is up: plug the cable in first' };
  const elsewhere = otherVlan(vlan, ownNeighbours, port.name);
  if (elsewhere !== undefined) return { possible: false, why: elsewhere };
  const address = freeAddress(cidr, taken, vantage.interfaces);
  if (address === undefined)
    return { possible: false, why: `every address of ${cidr} is in the plan or reserved` };
  const words = WRITERS[platform] ?? linuxCommands;
  return {
    possible: true,
    ...words({ address, prefixBits: network.prefixBits, family: network.family, port: port.name }),
    address,
    interface: port.name,
    why: `${address} stands nowhere in the plan, but something at the site may have it: ask for a free address, or survey first.${vlan === undefined ? '' : ` It helps only where ${port.name} is in VLAN ${vlan}.`}${platform === 'win32' ? WINDOWS_CAUTION : ''}`,
  };
}

/** Why a second address does not help: the switch says that the port is in another VLAN (IEEE 802.1AB, Port VLAN ID of 802.1). */
export function otherVlan(
  planned: number | undefined,
  ownNeighbours: readonly LldpNeighbour[],
  port: string,
): string | undefined {
  const told = ownNeighbours.find(({ localPort, vlan }) => localPort === port && vlan !== undefined);
  if (planned === undefined || told?.vlan === undefined || told.vlan === planned) return undefined;
  const from = told.sysName ?? told.chassisId;
  return `a second address does not help: ${from} says by LLDP that ${port} is in VLAN ${told.vlan}, and this network is VLAN ${planned}. Plug into a port of VLAN ${planned}, or ask for this port to be changed`;
}

const WINDOWS_CAUTION =
  ' Both need a console opened as administrator. If the port gets its address by DHCP, note its settings first: a fixed address beside it may end that.';

/** From the top of the usable range down, where site plans put the fewest devices (common practice, no source). */
function freeAddress(
  cidr: string,
  taken: TakenAddresses,
  interfaces: readonly VantageInterface[],
): string | undefined {
  const { family } = blockOf(cidr);
  const { first, last } = usableRange(cidr);
  const own = interfaces.flatMap((port) => port.addresses.flatMap((text) => parseCidr(text)?.address ?? []));
  const used = new Set([...taken.addresses, ...own]);
  const ranges = (taken.ranges ?? []).map((range) => ({
    first: toNumber(range.first),
    last: toNumber(range.last),
  }));
  let value = last;
  while (value >= first) {
    const inside = ranges.find((range) => value >= range.first && value <= range.last);
    if (inside !== undefined) {
      value = inside.first - 1n;
      continue;
    }
    const address = fromNumber(value, family);
    if (!used.has(address)) return address;
    value -= 1n;
  }
  return undefined;
}

interface Wanted {
  readonly address: string;
  readonly prefixBits: number;
  readonly family: 4 | 6;
  readonly port: string;
}
type Pair = { readonly add: string; readonly remove: string };

const WRITERS: Readonly<Record<string, (wanted: Wanted) => Pair>> = {
  linux: linuxCommands,
  darwin: macosCommands,
  win32: windowsCommands,
};

function linuxCommands({ address, prefixBits, port }: Wanted): Pair {
  const rest = `${address}/${prefixBits} dev ${shellWord(port)}`;
  return { add: `sudo ip address add ${rest}`, remove: `sudo ip address del ${rest}` };
}

function macosCommands({ address, prefixBits, family, port }: Wanted): Pair {
  const start = `sudo ifconfig ${shellWord(port)} ${family === 4 ? 'inet' : 'inet6'} ${address}`;
  const size = family === 4 ? `netmask ${maskOf(prefixBits)}` : `prefixlen ${prefixBits}`;
  return { add: `${start} ${size} alias`, remove: `${start} -alias` };
}

/** `store=active`: gone after a restart even if nobody removes it. */
function windowsCommands({ address, prefixBits, family, port }: Wanted): Pair {
  const name = commandText(port, '"PORT"');
  if (family === 4) {
    const start = `netsh interface ipv4`;
    return {
      add: `${start} add address name=${name} address=${address} mask=${maskOf(prefixBits)} store=active`,
      remove: `${start} delete address name=${name} address=${address} store=active`,
    };
  }
  const start = 'netsh interface ipv6';
  return {
    add: `${start} add address interface=${name} address=${address}/${prefixBits} store=active`,
    remove: `${start} delete address interface=${name} address=${address} store=active`,
  };
}

function maskOf(prefixBits: number): string {
  return fromNumber((0xffffffffn << BigInt(32 - prefixBits)) & 0xffffffffn, 4);
}

function shellWord(text: string): string {
  return /^[\w.@:-]+$/.test(text) ? text : `'${text.replaceAll("'", `'\\''`)}'`;
}
