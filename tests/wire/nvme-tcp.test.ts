import { expect, it } from 'vitest';
import { decodeNvmeReply, encodeInitializeRequest } from '../../src/wire/nvme-tcp.js';
import { fromHex } from '../support/hex.js';
import { tcpCapture } from './capture-bytes.js';
import { mustDecode } from './fixture.js';
import { TSHARK, tsharkFields } from './tshark.js';

/** Typed by hand after the transport specification (from memory); tshark agrees below. */
const RESPONSE = `0100800080000000${'0000000000000200'}${'00'.repeat(112)}`;
const TERMINATED = `030018001800000001000000${'00'.repeat(12)}`;

it('reads that a controller opens the transport', () => {
  expect(mustDecode(decodeNvmeReply(fromHex(RESPONSE)))).toEqual({
    kind: 'initialized',
    formatVersion: 0,
    maxDataOctets: 131_072,
  });
});

it('reads that a controller ends it', () => {
  expect(mustDecode(decodeNvmeReply(fromHex(TERMINATED)))).toEqual({ kind: 'terminated', status: 1 });
});

it.skipIf(TSHARK === undefined)(`tshark ${TSHARK} reads the request and the reply alike`, () => {
  const capture = tcpCapture(
    { from: 40_000, to: 4420, payload: encodeInitializeRequest() },
    { from: 4420, to: 40_000, payload: fromHex(RESPONSE) },
  );
  const fields = ['type', 'hlen', 'plen', 'icreq.pfv', 'icreq.maxr2t', 'icresp.pfv', 'icresp.maxdata'];
  const options = ['-d', 'tcp.port==4420,nvme-tcp'];
  expect(
    tsharkFields(
      capture,
      fields.map((field) => `nvme-tcp.${field}`),
      options,
    ),
  ).toEqual([
    ['0', '128', '128', '0', '0', '', ''],
    ['1', '128', '128', '', '', '0', '131072'],
  ]);
});

it('waits for the whole reply at every length', () => {
  const whole = fromHex(RESPONSE);
  for (let length = 0; length < whole.length; length += 1) {
    expect(decodeNvmeReply(whole.subarray(0, length))).toEqual({ ok: true, value: undefined });
  }
});

it.each([
  ['text', Buffer.from('HTTP/1.1 400 Bad Request').toString('hex')],
  ['a request', RESPONSE.replace(/^01/, '00')],
  ['a header of another length', RESPONSE.replace(/^010080/, '010081')],
  ['an end of 4 GiB', TERMINATED.replace(/^0300180018000000/, '03001800ffffffff')],
])('refuses %s', (_, hex) => {
  expect(decodeNvmeReply(fromHex(hex))).toMatchObject({ ok: false, why: 'malformed' });
});
