import { expect, it } from 'vitest';
import { decodeSmbReply, encodeSmbNegotiate } from '../../src/wire/smb.js';
import { fromHex } from '../support/hex.js';
import { tcpCapture } from './capture-bytes.js';
import { mustDecode } from './fixture.js';
import { TSHARK, tsharkFields } from './tshark.js';

/** Typed by hand after [MS-SMB2] §2.2.1.2 and §2.2.4 (from memory); tshark agrees below. */
const HEADER = `fe534d4240000000STATUSxx0000010001000000${'00'.repeat(44)}`;
const NEGOTIATED =
  `00000080${HEADER.replace('STATUSxx', '00000000')}` +
  `4100010002030000${'11'.repeat(16)}07000000${'00001000'.repeat(3)}${'00'.repeat(16)}8000000000000000`;
const REFUSED = `00000049${HEADER.replace('STATUSxx', 'bb0000c0')}090000000000000000`;

it('reads the dialect that a server chose', () => {
  expect(mustDecode(decodeSmbReply(fromHex(NEGOTIATED)))).toEqual({ status: 0, dialect: '3.0.2' });
});

it('reads the status of a server that does not want to', () => {
  expect(mustDecode(decodeSmbReply(fromHex(REFUSED)))).toEqual({ status: 0xc00000bb });
});

it.skipIf(TSHARK === undefined)(`tshark ${TSHARK} reads the request and the reply alike`, () => {
  const capture = tcpCapture(
    { from: 40_000, to: 445, payload: encodeSmbNegotiate(new Uint8Array(16).fill(7)) },
    { from: 445, to: 40_000, payload: fromHex(NEGOTIATED) },
  );
  const fields = [
    'smb2.cmd',
    'smb2.flags.response',
    'smb2.dialect',
    'smb2.nt_status',
    'smb2.dialect_count',
    '_ws.malformed',
  ];
  expect(tsharkFields(capture, fields)).toEqual([
    ['0', '0', '0x0202,0x0210,0x0300,0x0302', '', '4', ''],
    ['0', '1', '0x0302', '0x00000000', '', ''],
  ]);
});

it('waits for the whole message at every length', () => {
  const whole = fromHex(NEGOTIATED);
  for (let length = 0; length < whole.length; length += 1) {
    expect(decodeSmbReply(whole.subarray(0, length))).toEqual({ ok: true, value: undefined });
  }
});

it.each([
  ['text', Buffer.from('HTTP/1.1 400 Bad Request').toString('hex')],
  ['a message of 16 MiB', `00ffffff${'00'.repeat(80)}`],
  ['the older protocol', `00000040ff534d42${'00'.repeat(80)}`],
  ['another command', NEGOTIATED.replace('0000010001', '0100010001')],
  ['a request', NEGOTIATED.replace('0000010001000000', '0000010000000000')],
  ['a body of another size', NEGOTIATED.replace('4100010002', '2400010002')],
])('refuses %s', (_, hex) => {
  expect(decodeSmbReply(fromHex(hex))).toMatchObject({ ok: false, why: 'malformed' });
});
