import { describe, expect, it } from 'vitest';
import { type ObserveRequest, observe } from '../../src/run/observe.js';
import type { ProbeSet } from '../../src/run/probe-set.js';
import type { Surroundings } from '../../src/run/surroundings.js';
import type { Cause, NotRun, PresenceSighting, TcpOutcome } from '../../src/sighting/types.js';
import { anEndpoint, aPlan, aVantage, claimed, mac, UNCLAIMED } from '../support/evidence.js';
import { proveOver } from '../support/prove-over.js';

const plan = aPlan({
  endpoints: [
    anEndpoint('vault-1/A/mgmt', { address: '192.0.2.11', services: 'https ssh' }),
    anEndpoint('vault-1/B/mgmt', { address: '192.0.2.12', services: 'https' }),
    anEndpoint('vault-1/A/far', { address: '203.0.113.9', services: 'https' }),
  ],
});

const PRESENT: Record<string, PresenceSighting> = {
  '192.0.2.11': claimed([mac(11)]),
  '192.0.2.12': UNCLAIMED,
};

const surroundings: Surroundings = {
  vantage: async () => aVantage(),
  standpoint: (_vantage, address) =>
    address.startsWith('192.0.2.')
      ? { reach: 'on-link', interface: 'eth0', own: false }
      : { reach: 'no-route', reachReason: 'no interface has an address of data', own: false },
  findPresent: async ({ addresses }, _signal, onFound) => {
    const presence = new Map(addresses.map((address) => [address, PRESENT[address] ?? UNCLAIMED]));
    onFound('192.0.2.11', presence.get('192.0.2.11') ?? UNCLAIMED);
    return { presence, ownNeighbours: [], proxyArp: [], notes: ['heard nothing'] };
  },
};

type TcpAnswer =
  | {
      readonly outcome: TcpOutcome;
      readonly connectMs?: number;
      readonly cause?: Cause;
      readonly detail?: string;
    }
  | NotRun;

interface Asked {
  readonly what: string;
  readonly attempts: number;
}

/** Probes that note what they were asked; `tcp` decides the rest. */
function probesNoting(asked: Asked[], tcp: (port: number, attempts: number) => TcpAnswer): ProbeSet {
  const never = async (): Promise<never> => {
    throw new Error('not in this test');
  };
  return {
    icmp: async ({ address }, { attempts }) => {
      asked.push({ what: `icmp ${address}`, attempts });
      return { outcome: 'replied', rttMs: 0.3, sent: attempts, received: attempts };
    },
    tcp: never,
    prove: proveOver(
      async ({ address, service: { name, port } }, { attempts }) => {
        asked.push({ what: `tcp ${address}:${port}`, attempts });
        return { service: name, port, ...tcp(port, attempts) };
      },
      async ({ address, service }, { attempts }) => {
        asked.push({ what: `prove ${address} ${service.name}`, attempts });
        return {
          proof: { service: service.name, protocol: 'tcp', port: service.port, outcome: 'proven' },
          identity: service.name === 'ssh' ? { ssh: { line: 'SSH-2.0-Example', port: 22 } } : {},
        };
      },
    ),
    snmp: never,
    redfish: never,
    iscsi: never,
    mtu: never,
    links: never,
    switchTables: never,
    fabricTables: never,
    powerSupplies: never,
    resolveCredential: async () => ({ missing: 'none here' }),
  };
}

function look(probes: ProbeSet, signal = new AbortController().signal, more: Partial<ObserveRequest> = {}) {
  const clock = { now: () => performance.now(), date: () => new Date(0) };
  return observe({ plan, stage: 'configured', ...more }, { surroundings, probes, clock }, signal);
}

describe('observe', () => {
  it('asks nothing of an address that nobody claims or that no route leads to', async () => {
    const asked: Asked[] = [];
    const evidence = await look(probesNoting(asked, () => ({ outcome: 'accepted', connectMs: 1 })));
    expect(asked.filter(({ what }) => !what.includes('192.0.2.11'))).toEqual([]);
    const [present, unclaimed, far] = evidence.sightings;
    expect(present?.icmp.outcome).toBe('replied');
    expect(unclaimed?.icmp).toEqual({
      outcome: 'not-run',
      cause: 'nobody-there',
      reason: 'nobody on this link claims the address',
    });
    expect(far?.tcp[0]).toMatchObject({
      outcome: 'not-run',
      cause: 'no-route',
      reason: 'no interface has an address of data',
    });
    expect(evidence).toMatchObject({ complete: true, notes: ['heard nothing'] });
  });

  const NO_ROUTE = { outcome: 'unreachable', cause: 'host-unreachable', detail: 'no route to host' } as const;

  it('asks again where the laptop had no route to somebody who claims the address: its own question got lost', async () => {
    let asked = 0;
    const probes = probesNoting([], (port) => {
      asked += port === 443 ? 1 : 0;
      return port === 443 && asked < 3 ? NO_ROUTE : { outcome: 'accepted', connectMs: 1 };
    });
    let echoes = 0;
    const { sightings } = await look({
      ...probes,
      icmp: async (target, patience, signal) => {
        echoes += 1;
        return echoes === 1 ? NO_ROUTE : probes.icmp(target, patience, signal);
      },
    });
    expect([asked, echoes]).toEqual([3, 2]);
    expect(sightings[0]?.tcp.map(({ outcome }) => outcome)).toEqual(['accepted', 'accepted']);
    expect(sightings[0]?.icmp.outcome).toBe('replied');
  });

  it('believes it where it is said each time', async () => {
    const asked: Asked[] = [];
    const { sightings } = await look(
      probesNoting(asked, (port) => (port === 443 ? NO_ROUTE : { outcome: 'accepted', connectMs: 1 })),
    );
    expect(sightings[0]?.tcp[0]).toMatchObject(NO_ROUTE);
    expect(asked.filter(({ what }) => what.endsWith(':443'))).toHaveLength(4);
  });

  it('keeps a second claimant that showed itself after the first was settled', async () => {
    const late: Surroundings = {
      ...surroundings,
      findPresent: async (request, signal, onFound) => {
        const answer = await surroundings.findPresent(request, signal, onFound);
        return {
          ...answer,
          presence: new Map([...answer.presence, ['192.0.2.11', claimed([mac(11), mac(12)])]]),
        };
      },
    };
    const probes = probesNoting([], () => ({ outcome: 'accepted' }));
    const clock = { now: () => performance.now(), date: () => new Date(0) };
    const evidence = await observe(
      { plan, stage: 'configured' },
      { surroundings: late, probes, clock },
      new AbortController().signal,
    );
    expect(evidence.sightings[0]?.presence).toMatchObject({ macs: [mac(11), mac(12)] });
  });

  it('looks a second time, longer, at what is silent on a device that is there', async () => {
    const asked: Asked[] = [];
    const evidence = await look(
      probesNoting(asked, (port, attempts) => ({
        outcome: port === 22 && attempts === 3 ? 'no-reply' : 'accepted',
      })),
    );
    const ssh = asked.filter(({ what }) => what === 'tcp 192.0.2.11:22');
    expect(ssh.map(({ attempts }) => attempts)).toEqual([3, 7]);
    expect(asked.filter(({ what }) => what === 'tcp 192.0.2.11:443')).toHaveLength(1);
    expect(evidence.sightings[0]?.tcp.map(({ outcome }) => outcome)).toEqual(['accepted', 'accepted']);
  });

  it('proves only what accepts, and says of the rest what the connect said', async () => {
    const asked: Asked[] = [];
    const evidence = await look(
      probesNoting(asked, (port) => ({ outcome: port === 443 ? 'refused' : 'accepted' })),
    );
    expect(asked.map(({ what }) => what)).not.toContain('prove 192.0.2.11 https');
    expect(evidence.sightings[0]?.proofs.map(({ service, outcome }) => `${service} ${outcome}`)).toEqual([
      'https refused',
      'ssh proven',
    ]);
    expect(evidence.sightings[0]?.identity.ssh?.line).toBe('SSH-2.0-Example');
  });

  it('costs one address and is said, when a probe has a fault of its own', async () => {
    const probes = probesNoting([], () => ({ outcome: 'accepted' }));
    const evidence = await look({ ...probes, icmp: () => Promise.reject(new Error('broken\u001b[31m')) });
    expect(evidence.sightings[0]?.icmp).toMatchObject({ outcome: 'not-run' });
    expect(evidence.notes[1]).toContain('broken\\u001b[31m');
  });

  it('keeps only swept addresses that answer', async () => {
    const evidence = await look(
      probesNoting([], () => ({ outcome: 'accepted' })),
      undefined,
      { sweep: ['192.0.2.77'] },
    );
    expect(evidence.sightings.map(({ address }) => address)).not.toContain('192.0.2.77');
  });

  it('keeps a swept address that is claimed, looks at it once, and counts it for itself in the proxy question', async () => {
    const asked: Asked[] = [];
    const devices = new Map<string, string>();
    const stranger: Surroundings = {
      ...surroundings,
      findPresent: async (request, signal, onFound) => {
        for (const [address, device] of request.deviceOf) devices.set(address, device);
        const answer = await surroundings.findPresent(request, signal, onFound);
        return { ...answer, presence: new Map([...answer.presence, ['192.0.2.77', claimed([mac(77)])]]) };
      },
    };
    const silent: ProbeSet = {
      ...probesNoting(asked, () => ({ outcome: 'no-reply' })),
      icmp: async ({ address }, { attempts }) => {
        asked.push({ what: `icmp ${address}`, attempts });
        return { outcome: 'no-reply', sent: attempts, received: 0 };
      },
    };
    const clock = { now: () => performance.now(), date: () => new Date(0) };
    const evidence = await observe(
      { plan, stage: 'power-on', sweep: ['192.0.2.77'] },
      { surroundings: stranger, probes: silent, clock },
      new AbortController().signal,
    );
    const swept = evidence.sightings.find(({ address }) => address === '192.0.2.77');
    expect(swept?.presence).toMatchObject({ outcome: 'claimed', macs: [mac(77)] });
    expect(asked.filter(({ what }) => what === 'icmp 192.0.2.77')).toHaveLength(1);
    expect(asked.filter(({ what }) => what === 'icmp 192.0.2.11')).toHaveLength(2);
    expect(devices.get('192.0.2.77')).toBe('192.0.2.77');
    expect(devices.get('192.0.2.11')).toBe('vault-1');
  });

  it('says that it is not complete when it was interrupted', async () => {
    const interrupt = new AbortController();
    interrupt.abort();
    const evidence = await look(
      probesNoting([], () => ({ outcome: 'not-run', cause: 'interrupted', reason: 'interrupted' })),
      interrupt.signal,
    );
    expect(evidence.complete).toBe(false);
    expect(evidence.sightings).toHaveLength(3);
  });

  it('asks only the rest of an interrupted run, and says so', async () => {
    const asked: Asked[] = [];
    const probes = probesNoting(asked, () => ({ outcome: 'accepted' }));
    const before = await look(probes);
    asked.length = 0;
    const earlier = {
      sightings: before.sightings.filter(({ address }) => address === '192.0.2.11'),
      startedAt: 'then',
      links: [],
      switches: [],
      fabrics: [],
      power: [],
    };
    const evidence = await look(probes, undefined, { earlier });
    expect(asked).toEqual([]);
    expect(evidence.startedAt).toBe('then');
    expect(evidence.sightings).toEqual(before.sightings);
    expect(evidence.notes.join()).toContain('1 address had been tested before');
  });
});
