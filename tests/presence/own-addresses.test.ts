import { expect, it } from 'vitest';
import type { Heard, Listener } from '../../src/presence/listen.js';
import { watchOwnAddresses } from '../../src/presence/own-addresses.js';
import { LATE_ANSWER_MS } from '../../src/presence/record.js';
import type { ProgramResult } from '../../src/system/program-types.js';
import { aVantage, mac } from '../support/evidence.js';
import { fakePrograms, printed } from '../system/fakes.js';

const clock = { now: () => 1000 };
const quiet = new AbortController().signal;
const ETH0 = { name: 'eth0', mac: mac(0x05), addresses: ['192.0.2.5/24', '2001:db8::5/64'], up: true };
const WLAN0 = { name: 'wlan0', mac: mac(0x06), addresses: ['198.51.100.5/24'], up: true };

function listening(): Listener & { say: (heard: Partial<Heard>) => void } {
  const subscribers = new Set<(heard: Heard) => void>();
  return {
    interfaces: () => ['eth0'],
    subscribe: (onHeard) => {
      subscribers.add(onHeard);
      return () => subscribers.delete(onHeard);
    },
    neighbours: () => [],
    notes: () => [],
    stop: async () => {},
    say: (heard) => {
      const whole = {
        kind: 'claims',
        address: '192.0.2.5',
        mac: mac(0x77),
        frameSource: mac(0x77),
        interface: 'eth0',
        atMs: 0,
        timeUs: 0,
        toAll: true,
        ...heard,
      } as Heard;
      for (const each of subscribers) each(whole);
    },
  };
}

function vantage(arping: boolean) {
  const { abilities } = aVantage();
  return aVantage({
    interfaces: [ETH0, WLAN0],
    abilities: {
      ...abilities,
      arping: arping ? { able: true, flavour: 'iputils' } : { able: false, reason: 'not installed' },
    },
  });
}

it('asks once for each own IPv4 address of the ports in use, without telling anybody an address of ours', async () => {
  // iputils 20221126 with -D prints the other holder so.
  const arping = printed(
    'ARPING 192.0.2.5 from 0.0.0.0 eth0\nUnicast reply from 192.0.2.5 [00:00:5E:00:53:77]  0.7ms\n',
    {
      exitCode: 1,
    },
  );
  const programs = fakePrograms({ arping });
  const watch = watchOwnAddresses(vantage(true), ['eth0'], { programs, listener: listening(), clock }, quiet);
  expect(await watch.ended()).toEqual([{ address: '192.0.2.5', macs: [mac(0x77)] }]);
  expect(programs.calls).toEqual(['arping -D -w 1 -I eth0 192.0.2.5']);
});

it('hears who claims one unasked, and not itself', async () => {
  const listener = listening();
  const watch = watchOwnAddresses(
    vantage(false),
    ['eth0'],
    { programs: fakePrograms({}), listener, clock },
    quiet,
  );
  listener.say({ mac: ETH0.mac, frameSource: ETH0.mac });
  listener.say({ address: '198.51.100.5' });
  listener.say({ address: '2001:db8::5', mac: mac(0x78), frameSource: mac(0x78) });
  expect(await watch.ended()).toEqual([{ address: '2001:db8::5', macs: [mac(0x78)] }]);
  listener.say({});
  expect(await watch.ended()).toHaveLength(1);
});

it('finds nobody where nobody answers', async () => {
  const programs = fakePrograms({
    arping: printed('Sent 1 probes (1 broadcast(s))\nReceived 0 response(s)\n'),
  });
  const watch = watchOwnAddresses(vantage(true), ['eth0'], { programs, listener: listening(), clock }, quiet);
  expect(await watch.ended()).toEqual([]);
});

it('does not sit out the second of the program where a capture heard the question and had time for each answer', async () => {
  const listener = listening();
  const programs = {
    ...fakePrograms({}),
    run: (
      _program: string,
      _args: readonly string[],
      { signal }: { signal?: AbortSignal | undefined } = {},
    ) =>
      new Promise<ProgramResult>((resolve) => {
        signal?.addEventListener('abort', () => resolve({ ran: false, why: 'failed', detail: 'ended' }));
      }),
  };
  const watch = watchOwnAddresses(vantage(true), ['eth0'], { programs, listener, clock }, quiet);
  listener.say({ kind: 'wants', mac: ETH0.mac, frameSource: ETH0.mac, atMs: 1000 - LATE_ANSWER_MS });
  listener.say({});
  expect(await watch.ended()).toEqual([{ address: '192.0.2.5', macs: [mac(0x77)] }]);
});
