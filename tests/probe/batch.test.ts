import { setMaxListeners } from 'node:events';
import { expect, it } from 'vitest';
import { type BatchedEcho, type BatchProcess, createBatch } from '../../src/probe/batch.js';
import { blockReader } from '../../src/probe/echo-pings.js';
import { echoSender, lineReader } from '../../src/probe/echo-sender.js';

/** What ping of iputils 20221126 printed on 127.0.0.1 and for an address that nobody has, by `ping -n -q -c 1 -W 0.5`. */
const replied = (address: string): string =>
  `--- ${address} ping statistics ---\n1 packets transmitted, 1 received, 0% packet loss, time 0ms\nrtt min/avg/max/mdev = 0.038/0.038/0.038/0.000 ms\n`;
const silent = (address: string): string =>
  `--- ${address} ping statistics ---\n1 packets transmitted, 0 received, 100% packet loss, time 0ms\n\n`;
const unreachable = (address: string): string =>
  `--- ${address} ping statistics ---\n1 packets transmitted, 0 received, +1 errors, 100% packet loss, time 0ms\n\n`;
const head = (address: string): string => `PING ${address} (${address}) 56(84) bytes of data.\n\n`;

function read(...chunks: string[]): [string, BatchedEcho][] {
  const told: [string, BatchedEcho][] = [];
  const take = blockReader((address, echo) => told.push([address, echo]));
  for (const chunk of chunks) take(chunk);
  return told;
}

it('tells the echoes of many pings apart, whose heads stand between the ends of others', () => {
  const text =
    head('192.0.2.1') +
    head('192.0.2.2') +
    replied('192.0.2.2') +
    head('192.0.2.3') +
    silent('192.0.2.1') +
    unreachable('192.0.2.3');
  const expected = [
    ['192.0.2.2', { rttMs: 0.038 }],
    ['192.0.2.1', 'silent'],
    ['192.0.2.3', 'unknown'],
  ];
  expect(read(text)).toEqual(expected);
  // However the pipe cuts it.
  expect(read(...text)).toEqual(expected);
});

function fake() {
  const written: string[] = [];
  let take: (text: string) => void = () => {};
  let end: () => void = () => {};
  const holds: boolean[] = [];
  const process: BatchProcess = {
    stdin: { write: (text: string) => written.push(text) > 0 },
    onText: (on) => {
      take = on;
    },
    onEnd: (on) => {
      end = on;
    },
    hold: (held) => holds.push(held),
  };
  return { process, written, holds, say: (text: string) => take(text), end: () => end() };
}

const { signal } = new AbortController();
setMaxListeners(0, signal);

it('keeps this program from ending for as long as something is asked, and no longer', async () => {
  const xargs = fake();
  const batch = createBatch(xargs.process, blockReader);
  const echo = batch.ask('192.0.2.1', signal);
  await new Promise((resolve) => setImmediate(resolve));
  expect([xargs.written, xargs.holds]).toEqual([['192.0.2.1\n'], [false, true]]);
  xargs.say(replied('192.0.2.1'));
  expect(await echo).toEqual({ rttMs: 0.038 });
  expect(xargs.holds.at(-1)).toBe(false);
});

it('knows nothing of what was asked when the program ended, or when it is interrupted', async () => {
  const xargs = fake();
  const batch = createBatch(xargs.process, blockReader);
  const stop = new AbortController();
  const cut = batch.ask('192.0.2.1', stop.signal);
  stop.abort();
  expect(await cut).toBe('unknown');
  const lost = batch.ask('192.0.2.2', signal);
  xargs.end();
  expect(await lost).toBe('unknown');
  expect(await batch.ask('192.0.2.3', signal)).toBe('unknown');
});

it('reads what the sender tells, and nothing else', () => {
  const told: [string, BatchedEcho][] = [];
  const take = lineReader((address, echo) => told.push([address, echo]));
  for (const chunk of ['192.0.2.1 0.0', '53\n192.0.2.2 -\nstray\n192.0.2.3 ?', '\n192.0.2.4 x\n'])
    take(chunk);
  expect(told).toEqual([
    ['192.0.2.1', { rttMs: 0.053 }],
    ['192.0.2.2', 'silent'],
    ['192.0.2.3', 'unknown'],
  ]);
});

it('hears real echoes by the sender, each with its own round trip, or says at once that it may not', async () => {
  const process = echoSender.start(2);
  if (process === undefined) throw new Error('the sender has no pipes');
  const batch = createBatch(process, echoSender.reader);
  const addresses = Array.from({ length: 40 }, (_, at) => `127.0.0.${at + 1}`);
  const echoes = await Promise.all(addresses.map((address) => batch.ask(address, signal)));
  for (const echo of echoes) {
    if (batch.over()) expect(echo).toBe('unknown');
    else expect(echo).toEqual({ rttMs: expect.any(Number) });
  }
});
