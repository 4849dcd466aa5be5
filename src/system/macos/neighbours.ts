/** Neighbour tables of macOS, which writes octets without leading zeros: `0:0:5e:0:53:7`. */
import { parseAddress } from '../../plan/address.js';
import { type Decoded, decoded } from '../../wire/decoded.js';
import { isGroupAddress, type Neighbour, type NeighbourState, splitZone, stationMac } from '../neighbour.js';

const ARP_LINE = /^\S+ \(([\d.]+)\) at (\S+) on (\S+)(.*)$/;

/** `arp -an`: `? (192.0.2.7) at 0:0:5e:0:53:7 on en0 ifscope [ethernet]`. No age is shown, so a MAC is `held`. */
export function decodeArpMacos(text: string): Decoded<readonly Neighbour[]> {
  return decoded(
    text.split(/\r?\n/).flatMap((line): readonly Neighbour[] => {
      const [, addressText = '', macText = '', device = '', rest = ''] = ARP_LINE.exec(line.trim()) ?? [];
      const address = parseAddress(addressText);
      if (address === undefined || isGroupAddress(address)) return [];
      const mac = parseShortMac(macText);
      if (mac === undefined) return [{ address, interface: device, state: 'incomplete' }];
      return [{ address, mac, interface: device, state: / permanent\b/.test(rest) ? 'own-static' : 'held' }];
    }),
  );
}

/** State letters of `ndp -an` (its manual page, from memory). */
const NDP_STATES: Readonly<Record<string, NeighbourState>> = {
  R: 'present',
  S: 'stale',
  D: 'stale',
  P: 'stale',
  I: 'incomplete',
  N: 'incomplete',
  W: 'failed',
};

/** `ndp -an`: neighbour, MAC or `(incomplete)`, interface, expiry, state letter, flags. */
export function decodeNdpMacos(text: string): Decoded<readonly Neighbour[]> {
  return decoded(
    text.split(/\r?\n/).flatMap((line): readonly Neighbour[] => {
      const [first = '', macText = '', device, expire = '', letter = ''] = line.trim().split(/\s+/);
      const address = parseAddress(splitZone(first).address);
      if (address === undefined || isGroupAddress(address)) return [];
      const mac = parseShortMac(macText);
      if (mac === undefined) return [{ address, interface: device, state: 'incomplete' }];
      if (expire === 'permanent') return [{ address, mac, interface: device, state: 'own-static' }];
      return [{ address, mac, interface: device, state: NDP_STATES[letter] ?? 'held' }];
    }),
  );
}

function parseShortMac(text: string): string | undefined {
  if (!/^[0-9a-f]{1,2}(:[0-9a-f]{1,2}){5}$/i.test(text)) return undefined;
  return stationMac(
    text
      .split(':')
      .map((octet) => octet.padStart(2, '0'))
      .join(':'),
  );
}
