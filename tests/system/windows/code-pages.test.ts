import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { programs } from '../../../src/system/programs.js';
import { decodeArpWindows } from '../../../src/system/windows/neighbours.js';
import { readPingOutput } from '../../../src/wire/ping-output.js';

/** From memory: the words. Python's codecs made the bytes, so the code pages are not ours. */
const both = z.object({ text: z.string(), bytes: z.string() });
const { cases } = z
  .object({
    cases: z.array(
      z.object({
        language: z.string(),
        codePage: z.string(),
        rttMs: z.number(),
        replied: both,
        unreachable: both,
        arp: both,
      }),
    ),
  })
  .parse(
    JSON.parse(
      readFileSync(new URL('../../../fixtures/os-output/windows-code-pages.json', import.meta.url), 'utf8'),
    ),
  );

/** As the program reads them: bytes that are no UTF-8 become U+FFFD. */
const asRead = (bytes: string) => Buffer.from(bytes, 'hex').toString('utf8');

describe.each(cases)('Windows in $language, $codePage', ({ replied, unreachable, arp, rttMs }) => {
  it.each([
    ['as UTF-8', replied.text, unreachable.text],
    ['in its code page', asRead(replied.bytes), asRead(unreachable.bytes)],
  ])('tells a reply from an ICMP error, which ends with status 0 too, %s', (_how, yes, no) => {
    expect(readPingOutput(yes, '192.0.2.10')).toMatchObject({
      sent: 1,
      rttsMs: [rttMs],
      unreachable: undefined,
      otherAddress: undefined,
      fault: undefined,
    });
    const error = readPingOutput(no, '192.0.2.10');
    expect(error).toMatchObject({ rttsMs: [], unreachable: { by: '192.0.2.2' }, fault: undefined });
    expect(error.unreachable?.detail).not.toMatch(/\ufffd|^$/);
  });

  it.each([arp.text, asRead(arp.bytes)])('reads its neighbour table', (text) => {
    expect(decodeArpWindows(text)).toMatchObject({
      ok: true,
      value: [{ address: '192.0.2.10', mac: '00:00:5e:00:53:0a', interface: '7', state: 'held' }],
    });
  });
});

// From memory. Without TTL, only a unit at the end of the line makes a reply over IPv6.
it.each([
  ['Respuesta desde 2001:db8::10: tiempo<1m', [1], undefined],
  [asRead(Buffer.from('2001:db8::10: <1\xac\xe1', 'latin1').toString('hex')), [1], undefined],
  ['From 2001:db8::1 icmp_seq=1 Packet too big: mtu=1280', [], 'Packet too big: mtu=1280'],
])('reads %s', (line, rttsMs, detail) => {
  const reading = readPingOutput(line, '2001:db8::10');
  expect(reading.rttsMs).toEqual(rttsMs);
  expect(reading.otherAddress).toBeUndefined();
  expect(reading.unreachable?.detail).toBe(detail);
});

it('takes bytes that are no UTF-8 from a program without a throw', async () => {
  for (const { replied } of cases) {
    const line = `process.stdout.write(Buffer.from('${replied.bytes}', 'hex'))`;
    const result = await programs.run(process.execPath, ['-e', line], { timeoutMs: 10_000 });
    expect(result).toMatchObject({ ran: true, exitCode: 0, stdout: asRead(replied.bytes) });
  }
}, 30_000);
