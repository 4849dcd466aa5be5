import { describe, expect, it } from 'vitest';
import type { Datagrams } from '../../src/presence/datagrams.js';
import { findPresent } from '../../src/presence/find-present.js';
import type { Vantage } from '../../src/sighting/types.js';
import { aVantage, mac } from '../support/evidence.js';
import { aSystem, CLOCK, fakePrograms, printed } from '../system/fakes.js';

const NO = { able: false, reason: 'not here' } as const;
const ETH0 = { name: 'eth0', mac: mac(0x05), addresses: ['192.0.2.5/24'], up: true };

function vantage(more: Partial<Vantage['abilities']> = {}): Vantage {
  return aVantage({
    interfaces: [{ name: 'lo', mac: '00:00:00:00:00:00', addresses: ['127.0.0.1/8'], up: true }, ETH0],
    abilities: {
      ping: NO,
      capture: NO,
      arping: NO,
      neighbourTable: { able: true },
      privileged: false,
      ...more,
    },
  });
}

/** A kernel: rows of `present` appear once asked for; others stay incomplete. */
function kernel(present: Readonly<Record<string, string>>, more: { full?: boolean } = {}) {
  const asked: string[] = [];
  const programs = fakePrograms({
    ip: () =>
      printed(
        JSON.stringify(
          [...new Set(asked)].map((dst) => {
            const lladdr = present[dst];
            return {
              dst,
              dev: 'eth0',
              ...(lladdr === undefined ? {} : { lladdr }),
              state: [lladdr === undefined ? 'INCOMPLETE' : 'REACHABLE'],
            };
          }),
        ),
      ),
  });
  let closed = 0;
  const datagrams = (): Datagrams => ({
    send: async (address) => {
      if (more.full === true) return 'full';
      asked.push(address);
      return 'sent';
    },
    provoke: async () => 'silent',
    close: () => {
      closed += 1;
    },
  });
  const deps = { system: aSystem(programs), clock: CLOCK, datagrams };
  return { deps, asked, closed: () => closed };
}

describe('findPresent', () => {
  it('reports the present at once and the silent together after one patience', async () => {
    const { deps, closed } = kernel({ '192.0.2.45': mac(0x0c) });
    const reported: string[] = [];
    const started = performance.now();
    const settled = await findPresent(
      { addresses: ['192.0.2.45', '192.0.2.46', '192.0.2.47'], vantage: vantage(), patienceMs: 1200 },
      deps,
      new AbortController().signal,
      (address, sighting) => {
        reported.push(`${address} ${sighting.outcome}`);
        if (sighting.outcome === 'claimed') expect(performance.now() - started).toBeLessThan(1000);
      },
    );
    expect(reported).toEqual(['192.0.2.45 claimed', '192.0.2.46 unclaimed', '192.0.2.47 unclaimed']);
    expect(settled.presence.get('192.0.2.45')).toMatchObject({
      macs: [mac(0x0c)],
      duplicateCheck: 'not-excluded',
    });
    expect(performance.now() - started).toBeLessThan(2500);
    expect(closed()).toBe(1);
  });

  it('looks for no more at a time than whoever asks them further has room for', async () => {
    const addresses = Array.from({ length: 120 }, (_, at) => `192.0.2.${at + 100}`);
    const { deps, asked } = kernel(Object.fromEntries(addresses.map((address) => [address, mac(0x0c)])));
    const finished = new Set<string>();
    let most = 0;
    const datagrams = (): Datagrams => {
      const own = deps.datagrams();
      return {
        ...own,
        send: (address) => {
          const sent = own.send(address);
          most = Math.max(most, new Set(asked).size - finished.size);
          return sent;
        },
      };
    };
    let atWork = 0;
    const { presence } = await findPresent(
      { addresses, vantage: vantage(), tableRoom: { room: () => 30 - atWork, finished: () => [] } },
      { ...deps, datagrams },
      new AbortController().signal,
      (address) => {
        atWork += 1;
        setTimeout(() => {
          atWork -= 1;
          finished.add(address);
        }, 50);
      },
    );
    expect([...presence.values()].filter(({ outcome }) => outcome === 'claimed')).toHaveLength(120);
    expect(most).toBe(30);
  });

  it('asks nobody about loopback, routed and unreachable addresses, and says why', async () => {
    const { deps, asked } = kernel({});
    const { presence } = await findPresent(
      { addresses: ['127.0.0.2', '203.0.113.9'], vantage: vantage() },
      deps,
      new AbortController().signal,
    );
    expect(presence.get('127.0.0.2')).toMatchObject({
      outcome: 'not-run',
      reason: expect.stringContaining('loopback'),
    });
    expect(presence.get('203.0.113.9')).toMatchObject({
      outcome: 'not-run',
      reason: expect.stringContaining('no route'),
    });
    expect(asked).toEqual([]);
  });

  it("claims the laptop's own address for itself and does not ask for it", async () => {
    const { deps, asked } = kernel({});
    const { presence } = await findPresent(
      { addresses: ['192.0.2.5'], vantage: vantage() },
      deps,
      new AbortController().signal,
    );
    expect(presence.get('192.0.2.5')).toMatchObject({
      macs: [ETH0.mac],
      methods: ['own-address'],
      duplicateCheck: 'not-excluded',
    });
    expect(asked).toEqual([]);
  });

  it('ends at once when it is interrupted, and says so of what was open', async () => {
    const { deps, closed } = kernel({});
    const interrupt = new AbortController();
    setTimeout(() => interrupt.abort(), 100);
    const started = performance.now();
    const { presence } = await findPresent(
      { addresses: ['192.0.2.46'], vantage: vantage() },
      deps,
      interrupt.signal,
    );
    expect(presence.get('192.0.2.46')).toEqual({
      outcome: 'not-run',
      cause: 'interrupted',
      reason: 'interrupted',
    });
    expect(performance.now() - started).toBeLessThan(1000);
    expect(closed()).toBe(1);
  });

  it('never has more than 512 unanswered questions open', async () => {
    const { deps, asked } = kernel({});
    const addresses = Array.from({ length: 700 }, (_, index) => `192.0.${2 + (index >> 8)}.${index & 255}`);
    const wide = { ...vantage(), interfaces: [{ ...ETH0, addresses: ['192.0.1.5/20'] }] };
    const interrupt = new AbortController();
    setTimeout(() => interrupt.abort(), 600);
    await findPresent({ addresses, vantage: wide, patienceMs: 5000 }, deps, interrupt.signal);
    expect(new Set(asked).size).toBe(512);
  });

  it('says that nobody could be asked where the table can not be read', async () => {
    const { deps } = kernel({});
    const blind = { ...deps, system: aSystem(fakePrograms({})) };
    const { presence, notes } = await findPresent(
      { addresses: ['192.0.2.46'], vantage: vantage() },
      blind,
      new AbortController().signal,
    );
    expect(presence.get('192.0.2.46')).toMatchObject({ outcome: 'not-run' });
    expect(notes[0]).toContain('could not be read');
  });

  it('asks one address once, however often it is named', async () => {
    const { deps, asked } = kernel({ '192.0.2.45': mac(0x0c) });
    const addresses = ['192.0.2.45', '192.0.2.45'];
    const reported: string[] = [];
    await findPresent({ addresses, vantage: vantage() }, deps, new AbortController().signal, (address) => {
      reported.push(address);
    });
    expect(asked).toEqual(['192.0.2.45']);
    expect(reported).toEqual(['192.0.2.45']);
  });

  it('asks again from the start where the port of the laptop was away meanwhile, and gives up in the end', async () => {
    const { deps, asked } = kernel({ '192.0.2.45': mac(0x0c) });
    const lost = (times: number) => {
      let left = times;
      return () => left-- > 0;
    };
    const request = { addresses: ['192.0.2.46'], vantage: vantage(), patienceMs: 200 };
    const signal = new AbortController().signal;
    const once = await findPresent(request, { ...deps, lostSince: lost(1) }, signal);
    expect(once.presence.get('192.0.2.46')).toMatchObject({ outcome: 'unclaimed' });
    expect(asked).toEqual(['192.0.2.46', '192.0.2.46']);
    const always = await findPresent(request, { ...deps, lostSince: lost(99) }, signal);
    expect(always.presence.get('192.0.2.46')).toMatchObject({ outcome: 'not-run', cause: 'interface-down' });
    expect(asked).toHaveLength(5);
  });
});
