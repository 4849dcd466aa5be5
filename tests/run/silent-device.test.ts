/** A device that is there and drops what is asked of it, with simulated time: what it costs, and what is said of what there was no time for. */
import fc from 'fast-check';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { observe } from '../../src/run/observe.js';
import { type PaceLimits, paceOf } from '../../src/run/pace.js';
import { DEFAULT_PATIENCES } from '../../src/run/patience.js';
import type { ProbeSet } from '../../src/run/probe-set.js';
import type { AddressSighting } from '../../src/sighting/types.js';
import { anEndpoint, aPlan, aVantage, claimed, mac } from '../support/evidence.js';

/** DESIGN 5, issue 13: no device alone costs more. */
const BOUND_MS = 10_000;
/** Questions begun to one device in a second (src/run/pace.ts). */
const PER_SECOND = 25;
/** So many tries of a port make its silence sure where nothing is known of the loss (src/run/patience.ts). */
const SURE = DEFAULT_PATIENCES.connect.attempts;

const CREDENTIAL = { name: 'site-ro', version: '2c', port: 161 } as const;

interface Site {
  readonly addresses: number;
  readonly services: string;
  /** Whether this service answers at this address, counted from 0. */
  readonly answers?: (service: string, at: number) => boolean;
  /** Nobody is seen on the link: they are behind a router. */
  readonly routed?: boolean;
  readonly pace?: PaceLimits;
}

const ADDRESS = (at: number): string => `198.51.${100 + Math.floor(at / 200)}.${1 + (at % 200)}`;

/** One look at one device; `tookMs`: from the first question to the end. */
async function look({ addresses, services, answers = () => false, routed = false, pace }: Site) {
  const places = Array.from({ length: addresses }, (_, at) => ADDRESS(at));
  const plan = aPlan({
    snmp: { 'site-ro': { name: 'site-ro', version: '2c', port: 161 } as never },
    endpoints: places.map((address, at) => ({
      ...anEndpoint(`vault-1/A/p${at}`, { address, services }),
      snmp: 'site-ro',
    })),
  });
  /** Service and address -> tries that went out. */
  const tried = new Map<string, number>();
  let firstMs = Number.POSITIVE_INFINITY;
  const put = (what: string, address: string): void => {
    firstMs = Math.min(firstMs, performance.now());
    tried.set(`${what} ${address}`, (tried.get(`${what} ${address}`) ?? 0) + 1);
  };
  const does = (service: string, address: string): boolean => answers(service, places.indexOf(address));
  const interrupted = { outcome: 'not-run', cause: 'interrupted', reason: 'interrupted' } as const;
  const never = async (): Promise<never> => {
    throw new Error('not in this test');
  };
  const probes: ProbeSet = {
    icmp: async ({ address }, { attempts, timeoutMs }, signal) => {
      for (let sent = 1; sent <= attempts; sent += 1) {
        put('echo', address);
        if (does('echo', address))
          return { outcome: 'replied', rttMs: 1, sent: attempts, received: attempts };
        await pass(sent < attempts ? 200 : timeoutMs, signal);
      }
      return signal.aborted ? interrupted : { outcome: 'no-reply', sent: attempts };
    },
    tcp: async ({ address, service: { name, port } }, patience, signal) => {
      const { attempts, timeoutMs, more, answered, lastMs = timeoutMs } = patience;
      for (let tries = 1; ; tries += 1) {
        put(name, address);
        if (does(name, address)) {
          answered?.(tries);
          return { service: name, port, outcome: 'accepted' };
        }
        await pass(timeoutMs, signal);
        if (signal.aborted || (tries >= attempts && more?.(tries) !== true)) break;
      }
      await pass(lastMs - timeoutMs, signal);
      return signal.aborted
        ? { service: name, port, ...interrupted }
        : { service: name, port, outcome: 'no-reply', cause: 'timeout' };
    },
    prove: async ({ address, service, connect }, _patience, signal) => {
      const { name, port, protocol } = service;
      const tcp = connect === undefined ? undefined : await probes.tcp({ address, service }, connect, signal);
      const outcome = does(name, address) ? 'proven' : 'silent';
      return { tcp, proof: { service: name, protocol, port, outcome } };
    },
    snmp: async ({ address, service: { name, port } }, { attempts, timeoutMs }, signal) => {
      const head = { service: name, protocol: 'udp', port } as const;
      const credential = CREDENTIAL.name;
      for (let sent = 0; sent < attempts && !signal.aborted; sent += 1) {
        put('snmp', address);
        if (does('snmp', address))
          return {
            sighting: { outcome: 'replied', version: '2c', credential },
            proof: { ...head, outcome: 'proven' },
          };
        await pass(timeoutMs, signal);
      }
      return signal.aborted
        ? { sighting: interrupted, proof: { ...head, ...interrupted } }
        : {
            sighting: { outcome: 'no-reply', credential, cause: 'timeout' },
            proof: { ...head, outcome: 'silent' },
          };
    },
    redfish: never,
    iscsi: never,
    mtu: never,
    links: async ({ device, controller }) =>
      ({ device, controller, askedAt: ADDRESS(0), links: [] }) as never,
    switchTables: never,
    fabricTables: never,
    powerSupplies: never,
    resolveCredential: async () => CREDENTIAL,
  };
  const done = observe(
    { plan, stage: 'configured', pace },
    {
      probes,
      surroundings: {
        vantage: async () => aVantage(),
        standpoint: () => ({ reach: routed ? 'routed' : 'on-link', own: false }),
        findPresent: async ({ addresses: asked }) => ({
          presence: new Map(asked.map((address) => [address, claimed([mac(1)])])),
          ownNeighbours: [],
          proxyArp: [],
          notes: [],
        }),
      },
      clock: { now: () => performance.now(), date: () => new Date(0) },
    },
    new AbortController().signal,
  ).then((evidence) => ({ evidence, tookMs: performance.now() - firstMs }));
  await vi.runAllTimersAsync();
  const { evidence, tookMs } = await done;
  return { sightings: evidence.sightings, notes: evidence.notes.join(' '), tried, tookMs };
}

/** Simulated time goes by, or the signal ends it. */
function pass(ms: number, signal: AbortSignal): Promise<void> {
  return new Promise((resolve) => {
    const end = (): void => {
      clearTimeout(timer);
      signal.removeEventListener('abort', end);
      resolve();
    };
    const timer = setTimeout(end, ms);
    signal.addEventListener('abort', end);
    if (signal.aborted) end();
  });
}

/** What is said of all services of that name, counted. */
function counted(sightings: readonly AddressSighting[], name: string): Record<string, number> {
  const counts: Record<string, number> = {};
  for (const { tcp, snmp } of sightings) {
    const told = name === 'snmp' ? snmp : tcp.find(({ service }) => service === name);
    const key = told?.outcome === 'not-run' ? told.cause : (told?.outcome ?? 'nothing');
    counts[key] = (counts[key] ?? 0) + 1;
  }
  return counts;
}

beforeEach(() => {
  vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout', 'performance'] });
});
afterEach(() => {
  vi.useRealTimers();
});

describe('a device that is there and drops everything', () => {
  it('with 31 addresses and three services each is looked at whole within its time', async () => {
    const { sightings, tried, tookMs } = await look({ addresses: 31, services: 'https ssh snmp' });
    expect(tookMs).toBeLessThan(BOUND_MS);
    expect(counted(sightings, 'https')).toEqual({ 'no-reply': 31 });
    expect(counted(sightings, 'ssh')).toEqual({ 'no-reply': 31 });
    for (const [what, tries] of tried)
      if (what.startsWith('https') || what.startsWith('ssh')) expect(tries).toBeGreaterThanOrEqual(SURE);
    // What makes an agent's silence sure takes eight seconds: the first of them had that, the others are not called silent.
    const agents = counted(sightings, 'snmp');
    expect(agents['no-reply']).toBeGreaterThan(15);
    expect(agents['no-reply'] ?? 0).toBe(31 - (agents['bound-reached'] ?? 0));
  });

  it('with 600 addresses costs no more, and what there was no time for is not asked, never silent', async () => {
    const { sightings, tried, tookMs, notes } = await look({ addresses: 600, services: 'https ssh' });
    expect(tookMs).toBeLessThan(BOUND_MS);
    const https = counted(sightings, 'https');
    // Each address once before any a second time.
    expect(https['no-reply']).toBeGreaterThan(100);
    expect(https['bound-reached']).toBe(600 - (https['no-reply'] ?? 0));
    for (const { address, tcp } of sightings)
      for (const { service, outcome } of tcp)
        if (outcome === 'no-reply') expect(tried.get(`${service} ${address}`)).toBeGreaterThanOrEqual(SURE);
    expect(notes).toContain('vault-1');
  });

  it('behind a router is not called missing where it was not asked often enough', async () => {
    const site = { addresses: 300, services: 'https ssh', routed: true };
    const { sightings, tried, tookMs } = await look(site);
    expect(tookMs).toBeLessThan(BOUND_MS);
    let missing = 0;
    for (const { address, icmp, tcp, snmp } of sightings) {
      const silent = [icmp, ...tcp, snmp].filter(({ outcome }) => outcome === 'no-reply').length;
      // All of an address is silent, or nothing of it is told.
      expect([0, 4]).toContain(silent);
      if (silent === 0) continue;
      missing += 1;
      const tries = ['echo', 'https', 'ssh', 'snmp'].map((what) => tried.get(`${what} ${address}`) ?? 0);
      expect(tries.reduce((sum, one) => sum + one)).toBeGreaterThanOrEqual(SURE);
    }
    expect(missing).toBeGreaterThan(10);
    expect(missing).toBeLessThan(300);
  });
});

it('has more time where somebody wants a slower pace: its questions wait for each other', async () => {
  const pace = paceOf(400);
  const { sightings, tookMs } = await look({ addresses: 12, services: 'https ssh', pace });
  expect(counted(sightings, 'https')).toEqual({ 'no-reply': 12 });
  expect(counted(sightings, 'ssh')).toEqual({ 'no-reply': 12 });
  expect(tookMs).toBeLessThan((BOUND_MS * PER_SECOND) / pace.devicePerSecond);
});

describe('a device that drops some of it', () => {
  it('is asked for everything that may answer, though the time of its silence is up', async () => {
    const answers = (service: string): boolean => service === 'ssh';
    const { sightings, tookMs } = await look({ addresses: 100, services: 'https ssh snmp', answers });
    expect(counted(sightings, 'ssh')).toEqual({ accepted: 100 });
    // All of it takes 16 s at its pace where everything answers.
    expect(tookMs).toBeLessThan((100 * 4 * 1000) / PER_SECOND + 2_000);
    const https = counted(sightings, 'https');
    expect(Object.keys(https).sort()).toEqual(['bound-reached', 'no-reply']);
  });

  it('whatever answers is seen, and no port is silent that was not asked often enough', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.integer({ min: 1, max: 60 }),
        fc.constantFrom('https', 'https ssh', 'https ssh http'),
        fc.array(fc.nat(200), { maxLength: 12 }),
        async (addresses, services, answering) => {
          const names = services.split(' ');
          const hit = new Set(answering);
          const answers = (service: string, at: number): boolean =>
            names.includes(service) && hit.has(at * names.length + names.indexOf(service));
          const { sightings, tried, tookMs } = await look({ addresses, services, answers });
          // As long as all of it takes where everything answers, and what one device may cost.
          expect(tookMs).toBeLessThan((addresses * (names.length + 2) * 1000) / PER_SECOND + BOUND_MS);
          for (const [at, { address, tcp }] of sightings.entries())
            for (const { service, outcome } of tcp) {
              if (answers(service, at)) expect(outcome).toBe('accepted');
              else expect(['no-reply', 'not-run']).toContain(outcome);
              if (outcome === 'no-reply')
                expect(tried.get(`${service} ${address}`)).toBeGreaterThanOrEqual(3);
            }
        },
      ),
      { numRuns: 12 },
    );
  });
});
