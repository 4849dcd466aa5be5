import { describe, expect, it } from 'vitest';
import { LOCAL_NETWORK_DENIED } from '../../src/presence/local-network.js';
import { notRunWhilePortAway } from '../../src/run/own-port-away.js';
import type { ProbeSet } from '../../src/run/probe-set.js';
import type { PresenceRequest, Surroundings } from '../../src/run/surroundings.js';
import type { PresenceSighting } from '../../src/sighting/types.js';
import { aVantage, mac } from '../support/evidence.js';

const ETH0 = { name: 'eth0', mac: mac(5), addresses: ['192.0.2.5/24'], up: true };
const ETH1 = { name: 'eth1', mac: mac(6), addresses: ['198.51.100.5/24'], up: true };
const VANTAGE = aVantage({ interfaces: [ETH0, ETH1], routes: [] });
const SERVICE = { name: 'https', protocol: 'tcp', port: 443 } as const;
const PATIENCE = { timeoutMs: 1, attempts: 1 };
const signal = new AbortController().signal;

/** A run in which eth0 was away, and whose questions are answered so. */
async function asked(answers: {
  presence?: Readonly<Record<string, PresenceSighting>>;
  icmp?: Awaited<ReturnType<ProbeSet['icmp']>>;
  tcp?: 'no-reply' | 'accepted' | 'refused' | 'unreachable';
  away?: string;
}) {
  const presence = new Map(Object.entries(answers.presence ?? {}));
  const surroundings: Surroundings = {
    vantage: async () => VANTAGE,
    standpoint: () => ({ reach: 'on-link', own: false }),
    findPresent: async (_request, _signal, onFound) => {
      for (const [address, one] of presence) onFound(address, one);
      return { presence, ownNeighbours: [], proxyArp: [], notes: [] };
    },
  };
  const outcome = answers.tcp ?? 'no-reply';
  const tcp = { port: 443, service: 'https', outcome };
  const probes = {
    icmp: async () => answers.icmp ?? { outcome: 'no-reply', sent: 3 },
    tcp: async () => tcp,
    prove: async () => ({
      tcp,
      proof: {
        service: 'https',
        protocol: 'tcp',
        port: 443,
        outcome: outcome === 'accepted' ? 'proven' : 'silent',
      },
    }),
    snmp: async () => ({
      sighting: { outcome: 'no-reply', credential: 'site' },
      proof: { service: 'snmp', protocol: 'udp', port: 161, outcome: 'silent' },
    }),
  } as unknown as ProbeSet;
  const stopped: string[] = [];
  const told = notRunWhilePortAway({ surroundings, probes }, { now: () => 0 }, () => ({
    lostSince: (port) => port === answers.away,
    now: () => 0,
    notes: () => (answers.away === undefined ? [] : [`${answers.away} was away`]),
    stop: () => stopped.push('stopped'),
  }));
  await told.surroundings.vantage(undefined);
  const settled = new Map<string, PresenceSighting>();
  const request = { addresses: [...presence.keys()], vantage: VANTAGE } as unknown as PresenceRequest;
  await told.surroundings.findPresent(request, signal, (address, one) => settled.set(address, one));
  return { ...told, settled, stopped };
}

const target = (address: string) => ({ address, service: SERVICE });

describe('while a port of the laptop was away', () => {
  it('silence there is "not asked"', async () => {
    const run = await asked({ away: 'eth0' });
    const down = { outcome: 'not-run', cause: 'interface-down' };
    expect(await run.probes.icmp({ address: '192.0.2.20' }, PATIENCE, signal)).toMatchObject(down);
    expect(await run.probes.icmp({ address: '198.51.100.20' }, PATIENCE, signal)).toMatchObject({
      outcome: 'no-reply',
    });
    expect(await run.probes.tcp(target('192.0.2.20'), PATIENCE, signal)).toMatchObject({
      ...down,
      port: 443,
      service: 'https',
    });
    const proven = await run.probes.prove(target('192.0.2.20'), PATIENCE, signal);
    expect(proven).toMatchObject({ tcp: { ...down, port: 443 }, proof: { ...down, protocol: 'tcp' } });
    const snmp = { ...target('192.0.2.20'), credential: undefined } as never;
    expect(await run.probes.snmp(snmp, PATIENCE, signal)).toMatchObject({
      sighting: down,
      proof: { ...down, port: 161 },
    });
  });

  it('answers stand', async () => {
    const run = await asked({
      away: 'eth0',
      tcp: 'accepted',
      icmp: { outcome: 'replied', rttMs: 1, sent: 3, received: 1 },
    });
    expect(await run.probes.icmp({ address: '192.0.2.20' }, PATIENCE, signal)).toMatchObject({
      outcome: 'replied',
    });
    expect(await run.probes.prove(target('192.0.2.20'), PATIENCE, signal)).toMatchObject({
      tcp: { outcome: 'accepted' },
      proof: { outcome: 'proven' },
    });
  });

  it('the result says so, and the watch ends with the run', async () => {
    const run = await asked({ away: 'eth0' });
    expect((await run.surroundings.endListening?.())?.notes).toEqual(['eth0 was away']);
    expect(run.stopped).toEqual(['stopped']);
  });
});

describe('without the Local Network permission', () => {
  const denied: PresenceSighting = { outcome: 'not-run', ...LOCAL_NETWORK_DENIED };

  it('"no route to host" on that port is the permission, and elsewhere what it says', async () => {
    const run = await asked({ presence: { '192.0.2.20': denied }, tcp: 'unreachable' });
    expect(await run.probes.tcp(target('192.0.2.20'), PATIENCE, signal)).toMatchObject({
      outcome: 'not-run',
      cause: 'local-network-denied',
    });
    expect(await run.probes.tcp(target('198.51.100.20'), PATIENCE, signal)).toMatchObject({
      outcome: 'unreachable',
    });
  });

  it('other silence is silence', async () => {
    const run = await asked({ presence: { '192.0.2.20': denied } });
    expect(await run.probes.tcp(target('192.0.2.20'), PATIENCE, signal)).toMatchObject({
      outcome: 'no-reply',
    });
  });
});
