import { expect, it } from 'vitest';
import { decodeLinkFrame, ETHERTYPE } from '../../src/wire/ethernet.js';
import { decodeLldp, lldpNeighbour } from '../../src/wire/lldp.js';
import { fromHex } from '../support/hex.js';
import { mustDecode } from './fixture.js';
import { golden, goldenCapture } from './golden.js';
import { TSHARK, tsharkFields } from './tshark.js';

const PACKETS = golden('lldp');

function payloadOf(hex: string): Uint8Array {
  const link = mustDecode(decodeLinkFrame(fromHex(hex)));
  expect(link.etherType).toBe(ETHERTYPE.lldp);
  return link.payload;
}

it.each(PACKETS)('decodes: $name', ({ hex, decoded }) => {
  expect(mustDecode(decodeLldp(payloadOf(hex)))).toEqual(decoded);
});

it.skipIf(TSHARK === undefined)(`agrees with tshark ${TSHARK} on the same bytes`, () => {
  const rows = tsharkFields(goldenCapture(PACKETS), [
    'lldp.time_to_live',
    'lldp.tlv.system.name',
    'lldp.chassis.id.mac',
    'lldp.port.id.mac',
    'lldp.mgn.addr.ip4',
    'lldp.ieee.802_1.port_vlan.id',
    'lldp.ieee.802_3.max_frame_size',
    'lldp.chassis.subtype',
  ]);
  const ours = PACKETS.map(({ hex }) => {
    const frame = mustDecode(decodeLldp(payloadOf(hex)));
    return [
      String(frame.ttlSeconds),
      frame.sysName ?? '',
      frame.chassis.subtype === 'macAddress' ? frame.chassis.id : '',
      frame.port.subtype === 'macAddress' ? frame.port.id : '',
      frame.managementAddresses.filter((address) => !address.includes(':')).join(','),
      frame.vlan === undefined ? '' : String(frame.vlan),
      frame.maxFrameSize === undefined ? '' : String(frame.maxFrameSize),
      { macAddress: '4', networkAddress: '5', local: '7' }[frame.chassis.subtype],
    ];
  });
  expect(ours).toEqual(rows);
});

it('gives the sighting of a neighbour at a port of the laptop', () => {
  const packet = PACKETS.find(({ name }) => name.startsWith('array, local'));
  const frame = mustDecode(decodeLldp(payloadOf(packet?.hex ?? '')));
  expect(lldpNeighbour(frame, 'eth0')).toEqual({
    localPort: 'eth0',
    chassisId: '00:00:5e:00:53:10',
    chassisIdSubtype: 'macAddress',
    portId: 'ctlA-data0',
    portIdSubtype: 'local',
    portDescription: 'Controller A data port 0',
    sysName: 'array-ctl-a.example.com',
    sysDescription: 'Example array controller A',
    managementAddresses: ['192.0.2.10'],
    vlan: undefined,
    ttlSeconds: 120,
  });
});

const MANDATORY = '0207'.concat('0400005e005310', '0403', '057630', '06020078');

it.each([
  ['nothing', '', 'malformed'],
  ['an end at once', '0000', 'malformed'],
  ['a port id first', '0403057630', 'malformed'],
  ['no time to live', '02070400005e0053100403057630', 'malformed'],
  ['a chassis id without identifier', '020104', 'malformed'],
  ['a value of 511 octets that is not there', `${MANDATORY}0bff41`, 'truncated'],
  ['half a header', `${MANDATORY}0a`, 'truncated'],
])('refuses %s', (_, hex, why) => {
  expect(decodeLldp(fromHex(hex))).toMatchObject({ ok: false, why });
});

it.each([
  ['a management address longer than its TLV', '10031f0101'],
  ['a management address of an unknown family', '1004030611ff'],
  ['a VLAN name longer than its TLV', 'fe080080c203001540ff'],
  ['an organisation TLV without subtype', 'fe030080c2'],
  ['an empty system name', '0a00'],
])('leaves out %s and keeps the rest', (_, hex) => {
  const frame = mustDecode(decodeLldp(fromHex(`${MANDATORY}${hex}0000`)));
  expect(frame).toMatchObject({ ttlSeconds: 120, managementAddresses: [], vlanNames: [] });
  expect(frame.sysName).toBeUndefined();
});

it('keeps a bounded number of addresses of one frame', () => {
  // Length 5, address family 1, the address, then the interface: subtype 2, number 0, no OID (IEEE 802.1AB §8.5.9).
  const addresses = Array.from(
    { length: 40 },
    (_, host) => `100c0501c00002${host.toString(16).padStart(2, '0')}020000000000`,
  );
  const frame = mustDecode(decodeLldp(fromHex(`${MANDATORY}${addresses.join('')}0000`)));
  expect(frame.managementAddresses).toHaveLength(16);
});
