import { expect, it } from 'vitest';
import { encodeNullCall, RPC_PROGRAM, takeRpcReply } from '../../src/wire/rpc.js';
import { fromHex, toHex } from '../support/hex.js';
import { tcpCapture } from './capture-bytes.js';
import { mustDecode } from './fixture.js';
import { TSHARK, tsharkFields } from './tshark.js';

/** Typed by hand after RFC 5531 §9 and §11: record mark, xid 7, reply, accepted, AUTH_NONE verifier, accept_stat. */
const ACCEPTED = '0000000700000001000000000000000000000000';
const CASES = [
  { name: 'success', hex: `80000018${ACCEPTED}00000000`, reply: { xid: 7, status: 'success' } },
  {
    name: 'no such program',
    hex: `80000018${ACCEPTED}00000001`,
    reply: { xid: 7, status: 'program-unavailable' },
  },
  {
    name: 'no such version',
    hex: `80000020${ACCEPTED}000000020000000400000004`,
    reply: { xid: 7, status: 'program-mismatch', versions: { low: 4, high: 4 } },
  },
  {
    name: 'success behind a verifier of 5 octets and 3 of padding',
    hex: '80000020000000070000000100000000000000010000000561626364650000000000' + '0000',
    reply: { xid: 7, status: 'success' },
  },
  {
    name: 'denied',
    hex: '800000140000000700000001000000010000000100000001',
    reply: { xid: 7, status: 'denied' },
  },
] as const;

it('writes a NULL call of ten words and a record mark', () => {
  expect(toHex(encodeNullCall(7, RPC_PROGRAM.nfs, 3))).toBe(
    `80000028000000070000000000000002000186a300000003${'00000000'.repeat(5)}`,
  );
});

it.each(CASES)('reads: $name', ({ hex, reply }) => {
  expect(mustDecode(takeRpcReply(fromHex(hex)))).toEqual({ reply, size: hex.length / 2 });
});

it.skipIf(TSHARK === undefined)(`tshark ${TSHARK} reads the call and the reply alike`, () => {
  const capture = tcpCapture(
    { from: 40_000, to: 2049, payload: encodeNullCall(7, RPC_PROGRAM.nfs, 3) },
    { from: 2049, to: 40_000, payload: fromHex(CASES[2].hex) },
  );
  const fields = ['msgtyp', 'program', 'programversion', 'procedure', 'state_accept', 'programversion.min'];
  const rows = tsharkFields(capture, ['rpc.xid', ...fields.map((field) => `rpc.${field}`)]);
  // tshark shows the version twice: once in the call, once as that of NFS.
  expect(rows[0]?.slice(0, 5)).toEqual(['0x00000007', '0', '100003', '3,3', '0']);
  expect(rows[1]?.[0]).toBe('0x00000007');
  expect(rows[1]?.slice(5)).toEqual(['2', '4']);
});

it('waits for the whole record at every length', () => {
  const whole = fromHex(CASES[2].hex);
  for (let length = 0; length < whole.length; length += 1) {
    expect(takeRpcReply(whole.subarray(0, length))).toEqual({ ok: true, value: undefined });
  }
});

it.each([
  ['text', '485454502f312e31'],
  ['a record of 2 GiB', 'ffffffff00000007'],
  ['a record of no octets', '80000000'],
  ['a reply in several fragments', '0000001800000007'],
  ['a call', `80000018${'00000007'}${'00000000'.repeat(5)}`],
  ['a verifier past the end', '80000018000000070000000100000000000000000000ffff00000000'],
  ['an unknown status', `80000018${ACCEPTED}0000004d`],
])('refuses %s', (_, hex) => {
  expect(takeRpcReply(fromHex(hex))).toMatchObject({ ok: false });
});
