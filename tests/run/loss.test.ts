/** Small sites whose questions get lost: nobody who is there is ever told as missing, and who is not there is told in the end. */
import { expect, it } from 'vitest';
import type { Silence } from '../../src/presence/find-present.js';
import { observe } from '../../src/run/observe.js';
import type { ProbeSet } from '../../src/run/probe-set.js';
import type { Surroundings } from '../../src/run/surroundings.js';
import type { PresenceSighting } from '../../src/sighting/types.js';
import { anEndpoint, aPlan, aVantage, claimed, mac } from '../support/evidence.js';
import { proveOver } from '../support/prove-over.js';

const RUNS = 200;
const PRESENT = Array.from({ length: 8 }, (_, at) => `192.0.2.${11 + at}`);
const ABSENT = ['192.0.2.31', '192.0.2.32'];
const plan = aPlan({
  endpoints: [...PRESENT, ...ABSENT].map((address, at) =>
    anEndpoint(`vault-${(at >> 1) + 1}/${at % 2 ? 'B' : 'A'}/mgmt`, { address, services: 'https ssh' }),
  ),
});

/** Mulberry32: the same runs at each test run. */
function random(seed: number): () => number {
  let state = seed;
  return () => {
    state = (state + 0x6d2b79f5) | 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4_294_967_296;
  };
}

/** A site that loses this share of all packets, on either way. */
function site(loss: number, next: () => number) {
  const there = new Set(PRESENT);
  const answers = (address: string): boolean => there.has(address) && next() >= loss && next() >= loss;
  const findPresent: Surroundings['findPresent'] = async ({ addresses, silence }, _signal, onFound) => {
    const presence = new Map<string, PresenceSighting>();
    // All are asked turn by turn, as on a wire: what the first turns show tells how many the silent ones get.
    const open = new Map(addresses.map((address) => [address, 0]));
    while (open.size > 0) {
      for (const [address, asked] of open) {
        open.set(address, asked + 1);
        const seen = answers(address) ? found(address, asked + 1, silence) : silentAfter(asked + 1, silence);
        if (seen === undefined) continue;
        open.delete(address);
        presence.set(address, seen);
        onFound(address, seen);
      }
      // What those present are asked meanwhile counts too.
      await new Promise((resolve) => setImmediate(resolve));
    }
    return { presence, ownNeighbours: [], proxyArp: [], notes: [] };
  };
  const never = async (): Promise<never> => {
    throw new Error('not in this test');
  };
  const probes: ProbeSet = {
    icmp: async ({ address }, { attempts }) => {
      let received = 0;
      // Echoes take their time, as the tries of a connection do.
      for (let sent = 0; sent < attempts; sent += 1) {
        if (answers(address)) received += 1;
        await new Promise((resolve) => setImmediate(resolve));
      }
      return received === 0
        ? { outcome: 'no-reply', sent: attempts }
        : { outcome: 'replied', rttMs: 1, sent: attempts, received };
    },
    tcp: never,
    prove: proveOver(
      async ({ address, service: { name, port } }, { attempts, more, answered }) => {
        for (let tries = 1; ; tries += 1) {
          if (answers(address)) {
            answered?.(tries);
            return { service: name, port, outcome: 'accepted' };
          }
          await new Promise((resolve) => setImmediate(resolve));
          if (tries >= attempts && more?.(tries) !== true)
            return { service: name, port, outcome: 'no-reply', cause: 'timeout' };
        }
      },
      async ({ service: { name, port } }) => ({
        proof: { service: name, protocol: 'tcp', port, outcome: 'proven' },
      }),
    ),
    snmp: never,
    redfish: never,
    iscsi: never,
    mtu: never,
    links: never,
    switchTables: never,
    fabricTables: never,
    powerSupplies: never,
    resolveCredential: never,
  };
  const surroundings: Surroundings = {
    vantage: async () => aVantage(),
    standpoint: () => ({ reach: 'on-link', interface: 'eth0', own: false }),
    findPresent,
  };
  return { surroundings, probes };
}

function found(address: string, tries: number, silence: Silence | undefined): PresenceSighting {
  silence?.answeredAt(tries);
  return claimed([mac(Number(address.split('.').at(-1)))]);
}

function silentAfter(asked: number, silence: Silence | undefined): PresenceSighting | undefined {
  if (silence === undefined || asked < silence.needed(8)) return undefined;
  return { outcome: 'unclaimed', methods: ['capture'], asked, missChance: silence.missChance(asked) };
}

it.each([0, 0.05, 0.2, 0.4])(
  '%d of the packets lost each way: no false silence in 200 runs',
  async (loss) => {
    const clock = { now: () => 0, date: () => new Date(0) };
    let questions = 0;
    let surest = 1;
    for (let run = 1; run <= RUNS; run += 1) {
      const { signal } = new AbortController();
      const deps = { ...site(loss, random(run)), clock, sleep: async () => {} };
      const { sightings } = await observe({ plan, stage: 'configured' }, deps, signal);
      for (const { address, presence, icmp, tcp } of sightings) {
        if (PRESENT.includes(address)) {
          expect([run, address, presence.outcome, icmp.outcome]).toEqual([
            run,
            address,
            'claimed',
            'replied',
          ]);
          expect(tcp.map(({ outcome }) => outcome)).toEqual(['accepted', 'accepted']);
        } else {
          expect(presence.outcome).toBe('unclaimed');
          if (presence.outcome !== 'unclaimed') continue;
          questions = Math.max(questions, presence.asked);
          surest = Math.min(surest, presence.missChance ?? 1);
        }
      }
    }
    console.info(
      `loss ${loss}: silence after at most ${questions} questions, at best ${surest.toExponential(1)}`,
    );
  },
  60_000,
);
