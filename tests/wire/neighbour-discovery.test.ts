import { expect, it } from 'vitest';
import { decodeLinkFrame } from '../../src/wire/ethernet.js';
import { decodeNeighbourDiscovery } from '../../src/wire/neighbour-discovery.js';
import { fromHex } from '../support/hex.js';
import { mustDecode } from './fixture.js';
import { golden, goldenCapture } from './golden.js';
import { TSHARK, tsharkFields } from './tshark.js';

const PACKETS = golden('neighbour-discovery');
const payloadOf = (hex: string) => mustDecode(decodeLinkFrame(fromHex(hex))).payload;
const ADVERTISEMENT = payloadOf(PACKETS[2]?.hex ?? '');

it.each(PACKETS)('decodes: $name', ({ hex, decoded }) => {
  expect(mustDecode(decodeNeighbourDiscovery(payloadOf(hex)))).toEqual(decoded);
});

it.skipIf(TSHARK === undefined)(`agrees with tshark ${TSHARK} on the same bytes`, () => {
  const rows = tsharkFields(goldenCapture(PACKETS), [
    'ipv6.src',
    'ipv6.dst',
    'icmpv6.nd.ns.target_address',
    'icmpv6.nd.na.target_address',
    'icmpv6.opt.linkaddr',
    'icmpv6.nd.na.flag.s',
  ]);
  const ours = PACKETS.map(({ hex }) => {
    const found = mustDecode(decodeNeighbourDiscovery(payloadOf(hex)));
    const asks = found.kind === 'solicitation';
    const target = asks ? [found.target, ''] : ['', found.target];
    const solicited = asks ? '' : String(Number(found.solicited));
    return [found.source, found.destination, ...target, found.linkLayer ?? '', solicited];
  });
  expect(ours).toEqual(rows);
});

it.each([
  ['a hop limit below 255 (RFC 4861 §7.1.2)', 7, 64, 'malformed'],
  ['an option of length zero (RFC 4861 §4.6)', 65, 0, 'malformed'],
  ['an option past the end', 65, 9, 'malformed'],
  ['a code that is not 0 (RFC 4861 §7.1.2)', 41, 1, 'malformed'],
  ['a payload length past the end', 5, 255, 'truncated'],
  ['another ICMPv6 message', 40, 128, 'unsupported'],
  ['another protocol', 6, 17, 'unsupported'],
  ['another version', 0, 0x45, 'malformed'],
])('refuses %s', (_, at, octet, why) => {
  const packet = ADVERTISEMENT.slice();
  packet[at] = octet;
  expect(decodeNeighbourDiscovery(packet)).toMatchObject({ ok: false, why });
});

it('refuses a packet cut at any octet', () => {
  for (let length = 0; length < ADVERTISEMENT.length; length += 1) {
    expect(decodeNeighbourDiscovery(ADVERTISEMENT.subarray(0, length))).toMatchObject({ ok: false });
  }
});
