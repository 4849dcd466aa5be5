import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { decodeKeys, encodeKeys } from '../../../src/wire/iscsi/keys.js';
import {
  encodePdu,
  loginStatus,
  NO_TAG,
  OPCODE,
  opensLikeTarget,
  type Pdu,
  takePdu,
  taskTag,
} from '../../../src/wire/iscsi/pdu.js';
import { fromHex, toHex } from '../../support/hex.js';
import { decodePdus } from '../../support/pdus.js';
import { mustDecode } from '../fixture.js';
import { golden } from '../golden.js';
import { TSHARK, tsharkFields } from '../tshark.js';

const PACKETS = golden('iscsi');
const KINDS: Readonly<Record<number, string>> = {
  [OPCODE.loginRequest]: 'login request',
  [OPCODE.loginResponse]: 'login response',
  [OPCODE.textRequest]: 'text request',
  [OPCODE.textResponse]: 'text response',
  [OPCODE.logoutRequest]: 'logout request',
  [OPCODE.logoutResponse]: 'logout response',
};

function only(hex: string): Pdu {
  const [pdu, ...more] = mustDecode(decodePdus(fromHex(hex)));
  if (pdu === undefined || more.length > 0) throw new Error('not one PDU');
  return pdu;
}

it.each(PACKETS)('decodes $name ($madeBy)', ({ hex, decoded }) => {
  const pdu = only(hex);
  expect({
    kind: KINDS[pdu.opcode],
    flags: pdu.flags,
    taskTag: taskTag(pdu),
    dataLength: pdu.data.length,
    keys: mustDecode(decodeKeys(pdu.data)),
    ...(pdu.opcode === OPCODE.loginResponse ? { status: loginStatus(pdu) } : {}),
  }).toEqual(decoded);
});

it.skipIf(TSHARK === undefined).each(['iscsi-minimal', 'iscsi-discovery', 'iscsi-discovery-v6'])(
  `agrees with tshark ${TSHARK} on the PDUs of %s.pcap`,
  (name) => {
    const capture = readFileSync(new URL(`../../../fixtures/packets/${name}.pcap`, import.meta.url));
    const fields = ['opcode', 'datasegmentlength', 'initiatortasktag', 'keyvalue'];
    const theirs = tsharkFields(capture, ['tcp.payload', ...fields.map((field) => `iscsi.${field}`)]).filter(
      ([, opcode]) => opcode !== '',
    );
    const ours = theirs.map(([payload = '']) => {
      const pdu = only(payload);
      const keys = mustDecode(decodeKeys(pdu.data)).map((pair) => pair.join('='));
      const opcode = `0x${pdu.opcode.toString(16).padStart(2, '0')}`;
      const tag = `0x${taskTag(pdu).toString(16).padStart(8, '0')}`;
      // tshark prints a logout's length too; an empty segment is 0 for both.
      return [payload, opcode, String(pdu.data.length), tag, keys.join(',')];
    });
    expect(ours.length).toBeGreaterThan(5);
    expect(ours.map(normal)).toEqual(theirs.map(normal));
  },
);

/** tshark leaves the length out where a kind of PDU has no data segment. */
function normal(row: readonly string[]): readonly string[] {
  return row.map((text, index) => (index === 2 && text === '' ? '0' : text));
}

it('encodes the SendTargets request that shared/standards.md part 7 prints whole', () => {
  const pdu = encodePdu(
    { opcode: 0x44, taskTag: 2, word20: NO_TAG, commandNumber: 1, expectedStatus: 2 },
    encodeKeys([['SendTargets', 'All']]),
  );
  expect(toHex(pdu)).toBe(
    '4480000000000010000000000000000000000002ffffffff00000001000000020000000000000000000000000000000053656e64546172676574733d416c6c00',
  );
});

it('pads the data segment to four octets and steps over additional header segments (RFC 7143 §11.2.1.5, §11.2.3)', () => {
  const encoded = encodePdu(
    { opcode: 0x23, taskTag: 1, commandNumber: 0, expectedStatus: 0 },
    Uint8Array.of(1, 2, 3, 4, 5),
  );
  expect(encoded.length).toBe(56);
  const withHeaderSegment = Buffer.concat([
    encoded.subarray(0, 48),
    Buffer.alloc(8, 0xaa),
    encoded.subarray(48),
  ]);
  withHeaderSegment[4] = 2;
  const taken = mustDecode(takePdu(withHeaderSegment));
  expect(taken?.size).toBe(64);
  expect([...(taken?.pdu.data ?? [])]).toEqual([1, 2, 3, 4, 5]);
});

it('waits for the whole, padding too, and refuses a segment larger than we declared', () => {
  const whole = fromHex(PACKETS[1]?.hex ?? '');
  for (let length = 0; length < whole.length; length += 1) {
    expect(takePdu(whole.subarray(0, length))).toEqual({ ok: true, value: undefined });
  }
  const huge = whole.slice();
  huge.set([0x01, 0x00, 0x01], 5);
  expect(takePdu(huge)).toMatchObject({ ok: false, why: 'malformed', at: 5 });
});

it.each([
  ['HTTP', 'H'],
  ['SSH', 'S'],
  ['a mail greeting', '2'],
  ['an initiator, which asks and does not answer', '\u0043'],
  ['a login response with reserved bits set', '\u00e3'],
])('sees by the first octet that it is no target: %s', (_, octet) => {
  expect(opensLikeTarget(octet.charCodeAt(0))).toBe(false);
});
