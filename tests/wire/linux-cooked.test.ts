import { expect, it } from 'vitest';
import { decodeLinkFrame } from '../../src/wire/ethernet.js';
import { fromHex } from '../support/hex.js';
import { classicCapture } from './capture-bytes.js';
import { mustDecode } from './fixture.js';
import { TSHARK, tsharkFields } from './tshark.js';

/** ARP reply of 00:00:5e:00:53:0c for 192.0.2.45, behind the two cooked headers of Linux, typed by hand. */
const ARP = '000108000604000200005e00530cc000022d00005e00530ac000020a';
const CASES = [
  { name: 'SLL', linkType: 113, hex: `00000001000600005e00530c00000806${ARP}` },
  { name: 'SLL with a VLAN tag', linkType: 113, hex: `00000001000600005e00530c0000810000150806${ARP}` },
  { name: 'SLL2', linkType: 276, hex: `080600000000000700010006${'00005e00530c0000'}${ARP}` },
];

it.each(CASES)('finds sender and payload: $name', ({ linkType, hex }) => {
  const frame = mustDecode(decodeLinkFrame(fromHex(hex), linkType));
  expect(frame).toMatchObject({ source: '00:00:5e:00:53:0c', etherType: 0x0806, payload: fromHex(ARP) });
  expect(frame.destination).toBeUndefined();
});

it.skipIf(TSHARK === undefined).each(CASES)(`is what tshark ${TSHARK} finds: $name`, ({ linkType, hex }) => {
  const capture = classicCapture([{ bytes: fromHex(hex), timeNs: 0n }], { littleEndian: true, linkType });
  expect(tsharkFields(capture, ['sll.src.eth', 'arp.src.proto_ipv4'])).toEqual([
    ['00:00:5e:00:53:0c', '192.0.2.45'],
  ]);
});

it('refuses senders without an Ethernet address and short headers', () => {
  expect(decodeLinkFrame(fromHex('00000001000400005e00530c00000806'), 113)).toMatchObject({
    why: 'unsupported',
  });
  expect(decodeLinkFrame(fromHex('00000001000600005e00530c0000'), 113)).toMatchObject({ why: 'truncated' });
  expect(decodeLinkFrame(fromHex('0806000000000007'), 276)).toMatchObject({ why: 'truncated' });
});
