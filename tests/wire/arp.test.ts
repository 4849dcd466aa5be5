import { expect, it } from 'vitest';
import { ARP_SIZE, decodeArp } from '../../src/wire/arp.js';
import { decodeLinkFrame, ETHERTYPE } from '../../src/wire/ethernet.js';
import { fromHex } from '../support/hex.js';
import { mustDecode } from './fixture.js';
import { golden, goldenCapture } from './golden.js';
import { TSHARK, tsharkFields } from './tshark.js';

const PACKETS = golden('arp');
const REPLY = PACKETS[1]?.hex ?? '';

it.each(PACKETS)('decodes: $name', ({ hex, decoded: { destination, source, vlans = [], ...arp } }) => {
  const link = mustDecode(decodeLinkFrame(fromHex(hex)));
  expect(link).toMatchObject({ destination, source, vlans, etherType: ETHERTYPE.arp });
  expect(mustDecode(decodeArp(link.payload))).toEqual(arp);
});

it.skipIf(TSHARK === undefined)(`agrees with tshark ${TSHARK} on the same bytes`, () => {
  const rows = tsharkFields(goldenCapture(PACKETS), [
    'eth.src',
    'arp.opcode',
    'arp.src.hw_mac',
    'arp.src.proto_ipv4',
    'arp.dst.hw_mac',
    'arp.dst.proto_ipv4',
    'arp.isprobe',
    'arp.isannouncement',
    'arp.isgratuitous',
  ]);
  const ours = PACKETS.map(({ hex }) => {
    const link = mustDecode(decodeLinkFrame(fromHex(hex)));
    const arp = mustDecode(decodeArp(link.payload));
    const { op, senderMac, senderAddress, targetMac, targetAddress, kind } = arp;
    const fields = [link.source, String(op), senderMac, senderAddress, targetMac, targetAddress];
    return { fields, probe: kind === 'probe', announcement: kind === 'announcement' };
  });
  // tshark wants zeros as target MAC for a probe, which RFC 5227 §2.1.1 only recommends: sender 0.0.0.0 makes it one.
  // tshark calls an announcement "announcement" with zeros as target MAC, else "gratuitous"; RFC 5227 §1.1 makes no such difference.
  const theirs = rows.map((row) => ({
    fields: row.slice(0, 6),
    probe: row[6] === '1' || (row[1] === '1' && row[3] === '0.0.0.0'),
    announcement: row[7] === '1' || row[8] === '1',
  }));
  expect(ours.length).toBe(theirs.length);
  expect(ours).toEqual(theirs);
});

it('refuses a message cut at any octet, and takes padding (RFC 894: 46 octets of data)', () => {
  const message = fromHex(REPLY).subarray(14);
  for (let length = 0; length < ARP_SIZE; length += 1) {
    expect(decodeArp(message.subarray(0, length))).toMatchObject({ ok: false, why: 'truncated' });
  }
  expect(decodeArp(Buffer.concat([message, new Uint8Array(18)]))).toEqual(decodeArp(message));
});

it.each([
  ['hardware that is not Ethernet', 0, '0020', 'unsupported'],
  ['a protocol that is not IPv4', 2, '86dd', 'unsupported'],
  ['hardware addresses of 255 octets', 4, 'ff', 'malformed'],
  ['protocol addresses of 0 octets', 5, '00', 'malformed'],
])('refuses %s', (_, at, hex, why) => {
  const message = fromHex(REPLY).slice(14);
  message.set(fromHex(hex), at);
  expect(decodeArp(message)).toMatchObject({ ok: false, why, at });
});

it('calls an unknown operation and a reply without sender "other"', () => {
  const message = fromHex(REPLY).slice(14);
  message[7] = 9;
  expect(mustDecode(decodeArp(message)).kind).toBe('other');
  message[7] = 2;
  message.fill(0, 14, 18);
  expect(mustDecode(decodeArp(message)).kind).toBe('other');
});
