/** What one device may cost a run, with real sockets: from the first question to it until the last conversation with it is over. */
import { createServer as createHttp } from 'node:http';
import type { Socket } from 'node:net';
import { afterAll, describe, expect, test } from 'vitest';
import { proveService } from '../../src/probe/services.js';
import { probeTcp } from '../../src/probe/tcp.js';
import { observe } from '../../src/run/observe.js';
import { DEFAULT_PATIENCES } from '../../src/run/patience.js';
import type { ProbeSet } from '../../src/run/probe-set.js';
import { judge } from '../../src/verdicts/judge.js';
import { ADDRESS, type Listening, listen, service, tcpServer } from '../probe/loopback.js';
import { anEndpoint, aPlan, aVantage } from '../support/evidence.js';

/** From the first question to a device to the end of the last conversation with it, in milliseconds: DESIGN 5, issue 13. */
const BOUND_MS = 10_000;
/** For a machine that is busy with other tests. Without a bound the smallest of these devices took 12.8 s, the largest half a minute. */
const SLACK_MS = 1_500;
/** Waits that are long enough for a busy machine, and short beside the others. */
const SHORT = { ...DEFAULT_PATIENCES, proof: { timeoutMs: 2_000, attempts: 1 } };

const open: Listening[] = [];
afterAll(async () => {
  for (const one of open.splice(0)) await one.close();
});

const silent = (): Promise<Listening> => tcpServer(() => {});
/** The head of a page, an octet at a time, without end. */
const drip = (): Promise<Listening> =>
  tcpServer((socket: Socket) => {
    const text = 'HTTP/1.1 200 OK\r\n';
    let at = 0;
    const timer = setInterval(() => {
      socket.write(text[at] ?? 'X: y\r\n'[(at - text.length) % 6] ?? '');
      at += 1;
    }, 100);
    socket.on('close', () => clearInterval(timer));
  });
const honest = (): Promise<Listening> =>
  listen(createHttp((_, reply) => void setTimeout(() => reply.end('ok'), 30)));

/** One look at one device whose services are these; how long it took from the first question to the last answer. */
async function look(peers: readonly (() => Promise<Listening>)[], patiences = DEFAULT_PATIENCES) {
  const ports = await Promise.all(
    peers.map(async (peer) => {
      const listening = await peer();
      open.push(listening);
      return listening.port;
    }),
  );
  const never = async (): Promise<never> => {
    throw new Error('not in this test');
  };
  let firstMs = Number.POSITIVE_INFINITY;
  let lastMs = 0;
  const timed = async <T>(answer: () => Promise<T>): Promise<T> => {
    firstMs = Math.min(firstMs, performance.now());
    const got = await answer();
    lastMs = performance.now();
    return got;
  };
  const probes: ProbeSet = {
    icmp: async () => ({ outcome: 'replied', rttMs: 1, sent: 1, received: 1 }),
    tcp: probeTcp,
    prove: (...asked) => timed(() => proveService(...asked)),
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
  const plan = aPlan({
    endpoints: [
      {
        ...anEndpoint('vault-1/A/mgmt', { address: ADDRESS }),
        services: ports.map((port) => service('http', port)),
      },
    ],
  });
  const evidence = await observe(
    { plan, stage: 'configured', patiences },
    {
      probes,
      surroundings: {
        vantage: async () => aVantage(),
        standpoint: () => ({ reach: 'on-link', own: false }),
        findPresent: async () => ({ presence: new Map(), ownNeighbours: [], proxyArp: [], notes: [] }),
      },
      clock: { now: () => performance.now(), date: () => new Date() },
    },
    new AbortController().signal,
  );
  const facts =
    judge(plan, [evidence], { review: [], makerOf: () => undefined }).endpoints[0]?.facts.filter(
      ({ fact }) => fact === 'service',
    ) ?? [];
  return { facts, evidence, tookMs: lastMs - firstMs };
}

const many = <T>(count: number, one: T): T[] => Array.from({ length: count }, () => one);

describe.concurrent('a device ends within its bound', () => {
  test.each([
    ['17 services never speak', many(17, silent), 6],
    ['68 services never speak', many(68, silent), 6],
    ['68 services say an octet at a time', many(68, drip), 6],
    ['68 services never speak or say an octet at a time', many(34, [silent, drip]).flat(), 3],
  ] as const)(
    'of which %s',
    async (_fault, peers, broken) => {
      const { facts, evidence, tookMs } = await look(peers);
      expect(tookMs).toBeLessThan(BOUND_MS + SLACK_MS);
      // What had its whole time is broken; all else is unproven, and says whose time was used up. Nothing is proven and nothing missing.
      const states = new Set(facts.map(({ state }) => state));
      expect(states).toEqual(new Set(['differs', 'unproven']));
      expect(facts.filter(({ state }) => state === 'differs').length).toBeGreaterThanOrEqual(broken);
      const unproven = facts.filter(({ state }) => state === 'unproven');
      expect(unproven.length).toBeGreaterThan(0);
      for (const { cause, reason, mend } of unproven) {
        expect(['not-asked', 'cut-short']).toContain(cause);
        expect(reason).toContain('vault-1');
        expect(mend).toContain('vault-1');
      }
      expect(evidence.notes.join()).toContain('vault-1');
    },
    40_000,
  );

  test('and what answers beside five that hang is proven, each of it', async () => {
    const { facts, evidence } = await look([...many(5, silent), ...many(30, honest)], SHORT);
    expect(facts.map(({ state }) => state)).toEqual([...many(5, 'differs'), ...many(30, 'matches')]);
    expect(evidence.notes).toEqual([]);
  });

  test('and what answers at once is proven where more hang than are asked at a time', async () => {
    const { facts } = await look([...many(8, silent), ...many(6, honest)], SHORT);
    expect(facts.slice(8).map(({ state }) => state)).toEqual(many(6, 'matches'));
  });
});
