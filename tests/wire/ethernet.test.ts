import { expect, it } from 'vitest';
import { decodeLinkFrame } from '../../src/wire/ethernet.js';
import { fromHex } from '../support/hex.js';
import { mustDecode } from './fixture.js';

const ENDS = 'ffffffffffff00005e00530a';

it('leaves a priority tag (VID 0) out of the VLANs', () => {
  expect(mustDecode(decodeLinkFrame(fromHex(`${ENDS}8100e0000806aa`)))).toEqual({
    destination: 'ff:ff:ff:ff:ff:ff',
    source: '00:00:5e:00:53:0a',
    vlans: [],
    vlan: undefined,
    etherType: 0x0806,
    payload: Uint8Array.of(0xaa),
  });
});

it('has no EtherType where the field is a length (IEEE 802.3)', () => {
  expect(mustDecode(decodeLinkFrame(fromHex(`${ENDS}0026aa`))).etherType).toBeUndefined();
});

it.each([
  ['half a header', `${ENDS}08`, 'truncated'],
  ['half a tag', `${ENDS}810000`, 'truncated'],
  ['tags without end', `${ENDS}${'81000001'.repeat(40)}`, 'malformed'],
])('refuses %s', (_, hex, why) => {
  expect(decodeLinkFrame(fromHex(hex))).toMatchObject({ ok: false, why });
});

it('refuses a link type it does not know', () => {
  expect(decodeLinkFrame(fromHex(`${ENDS}0806`), 127)).toMatchObject({ ok: false, why: 'unsupported' });
});
