/** A host with two ports in the network of an array, looked from by each: each pair counts by what was measured over it (DESIGN 6). */
import { describe, expect, it } from 'vitest';
import { viewOf } from '../../src/evidence/view.js';
import type { Plan } from '../../src/plan/model.js';
import type { AddressSighting, Evidence } from '../../src/sighting/types.js';
import { judge } from '../../src/verdicts/judge.js';
import { pairsMeasured } from '../../src/verdicts/pairs.js';
import {
  aGroup,
  aNetwork,
  anEndpoint,
  anEvidence,
  aPlan,
  aSighting,
  mac,
  notRun,
} from '../support/evidence.js';

const NIC = { nic0: '198.51.100.20', nic1: '198.51.100.21' } as const;
const PORT = { A: '198.51.100.1', B: '198.51.100.2' } as const;
const MAC: Readonly<Record<string, string>> = {
  [NIC.nic0]: mac(0x20),
  [NIC.nic1]: mac(0x21),
  [PORT.A]: mac(1),
  [PORT.B]: mac(2),
};

const LATER = '2030-01-02T03:20:00.000Z';

const end = (id: string, address: string, role: 'host' | 'data') =>
  anEndpoint(id, {
    address,
    role,
    network: 'data-a',
    ...(role === 'data' ? { services: 'tcp/3260', group: 'data' } : {}),
  });
const plan: Plan = aPlan({
  networks: [aNetwork('data-a', '198.51.100.0/24')],
  endpoints: [
    end('press-1/nic0', NIC.nic0, 'host'),
    end('press-1/nic1', NIC.nic1, 'host'),
    end('vault-1/A/data0', PORT.A, 'data'),
    end('vault-1/B/data0', PORT.B, 'data'),
  ],
  groups: [
    aGroup('data', ['vault-1/A/data0', 'vault-1/B/data0']),
    { ...aGroup('way', [], { independent: ['host-port'] }), from: 'press-1', to: 'data' },
  ],
});

const interfaceOf = (name: 'nic0' | 'nic1') => ({
  name,
  mac: MAC[NIC[name]] ?? '',
  addresses: [`${NIC[name]}/24`],
  up: true,
});
/** What the port sees of an array port: `over` says who it reaches. */
const seen = (name: 'nic0' | 'nic1', address: string, there: boolean): AddressSighting =>
  aSighting(address, { interface: name, by: there ? (MAC[address] ?? '') : false });
const own = (name: 'nic0' | 'nic1'): AddressSighting =>
  aSighting(NIC[name], { interface: name, own: true, by: MAC[NIC[name]] ?? '', icmp: notRun('its own') });
const whole: Evidence = anEvidence({
  vantage: {
    name: 'press-1',
    from: 'ssh://root@192.0.2.30',
    interfaces: [interfaceOf('nic0'), interfaceOf('nic1')],
  },
  sightings: [
    own('nic0'),
    own('nic1'),
    ...[PORT.A, PORT.B].map((address) =>
      aSighting(address, { interface: 'nic0', by: MAC[address] ?? '', answers: 'tcp/3260' }),
    ),
  ],
});
const byPort = (name: 'nic0' | 'nic1', reached: readonly string[]): Evidence =>
  anEvidence({
    // A look by each port comes after that of the whole place.
    startedAt: LATER,
    vantage: {
      ...{ name: `press-1 (${name})`, from: 'ssh://root@192.0.2.30', port: name },
      interfaces: [interfaceOf(name)],
    },
    sightings: [PORT.A, PORT.B].map((address) => seen(name, address, reached.includes(address))),
  });
const wayOf = (...evidence: readonly Evidence[]) => {
  const judged = judge(plan, evidence, { review: [] });
  const group = judged.groups.find(({ name }) => name === 'way');
  if (group === undefined) throw new Error('no group');
  return { judged, group, paths: Object.fromEntries(group.paths.map((path) => [path.id, path])) };
};
const ALL = [PORT.A, PORT.B];

describe('pairs of a host port and an array port', () => {
  it('count from what was measured over each port, and say from where', () => {
    const { group, paths, judged } = wayOf(whole, byPort('nic0', ALL), byPort('nic1', ALL));
    expect(judged.findings).toEqual([]);
    expect(judged.endpoints.map(({ verdict }) => verdict)).toEqual(Array(4).fill('matches'));
    expect(group.verdict).toBe('redundant');
    expect(paths['press-1/nic1 -> vault-1/B/data0']).toMatchObject({ state: 'live', over: 'press-1 (nic1)' });
    expect(group.reasons.join(' ')).not.toContain('own port');
  });

  it('a port that reaches nobody ends its pairs, although both ends answer elsewhere', () => {
    const { group, paths, judged } = wayOf(whole, byPort('nic0', ALL), byPort('nic1', []));
    expect(paths['press-1/nic1 -> vault-1/A/data0']).toMatchObject({
      state: 'dead',
      why: expect.stringContaining('nobody answers press-1 (nic1) at 198.51.100.1'),
    });
    expect(judged.endpoints.map(({ verdict }) => verdict)).toEqual(Array(4).fill('matches'));
    expect(group.live).toEqual(['press-1/nic0 -> vault-1/A/data0', 'press-1/nic0 -> vault-1/B/data0']);
    expect(group.verdict).toBe('at-risk');
    expect(group.singlePoints).toContainEqual({ kind: 'host-port', name: 'press-1/nic0' });
    expect(judged.findings.map(({ code, subject }) => `${code} ${subject}`)).toContain('single-point way');
  });

  it('one pair that does not work leaves the others, and the group is told by what remains', () => {
    const { group, paths, judged } = wayOf(whole, byPort('nic0', ALL), byPort('nic1', [PORT.B]));
    expect(judged.endpoints.map(({ verdict }) => verdict)).toEqual(Array(4).fill('matches'));
    expect(judged.findings.map(({ code, subject }) => `${code} ${subject}`)).toEqual([
      'places-disagree vault-1/A/data0',
    ]);
    expect(paths['press-1/nic1 -> vault-1/A/data0']?.state).toBe('dead');
    expect(group.live).toHaveLength(3);
    expect(group.verdict).toBe('redundant');
  });

  it('an array port that is claimed over a port and answers nothing there proves no way', () => {
    const mute = {
      ...byPort('nic1', ALL),
      sightings: ALL.map((address) =>
        aSighting(address, { interface: 'nic1', by: MAC[address] ?? '', echo: false }),
      ),
    };
    const { paths } = wayOf(whole, byPort('nic0', ALL), mute);
    expect(paths['press-1/nic1 -> vault-1/A/data0']?.state).toBe('unproven');
  });

  it('without a look by each port the pairs follow from both ends, and that is said', () => {
    const { group, paths } = wayOf(whole);
    expect(group.live).toHaveLength(4);
    expect(paths['press-1/nic1 -> vault-1/B/data0']?.over).toBeUndefined();
    expect(group.reasons.join(' ')).toContain("No pair was asked over the host's own port");
    const some = wayOf(whole, byPort('nic0', ALL)).group.reasons.join(' ');
    expect(some).toContain("2 of 4 pairs were asked over the host's own port");
  });

  it('a host that says itself that its port has no link', () => {
    const down = {
      ...whole,
      vantage: { ...whole.vantage, interfaces: [interfaceOf('nic0'), { ...interfaceOf('nic1'), up: false }] },
    };
    const { judged, group } = wayOf(down, byPort('nic0', ALL));
    expect(judged.endpoints.map(({ verdict }) => verdict)).toEqual([
      'matches',
      'differs',
      'matches',
      'matches',
    ]);
    expect(judged.findings.map(({ code, subject }) => `${code} ${subject}`)).toContain(
      'link-down press-1/nic1',
    );
    expect(group.live).toHaveLength(2);
  });

  it('what another place sees of the host port stands before what the host says of itself', () => {
    const laptop = anEvidence({
      vantage: { interfaces: [{ name: 'eth0', mac: mac(0xfe), addresses: ['198.51.100.5/24'], up: true }] },
      sightings: [
        aSighting(NIC.nic0, { by: MAC[NIC.nic0] ?? '' }),
        aSighting(NIC.nic1, { by: false }),
        ...ALL.map((address) => aSighting(address, { by: MAC[address] ?? '', answers: 'tcp/3260' })),
      ],
    });
    const { judged } = wayOf(laptop, whole);
    expect(judged.endpoints.map(({ verdict }) => verdict)).toEqual([
      'matches',
      'missing',
      'matches',
      'matches',
    ]);
  });

  it('the laptop that merely has the address of a host is still in the way', () => {
    const laptop = anEvidence({ vantage: { interfaces: [interfaceOf('nic0')] }, sightings: [own('nic0')] });
    const { judged } = wayOf(laptop);
    expect(judged.findings.map(({ code }) => code)).toContain('own-address-planned');
  });

  it('a look by the one port of a place in that network is a look over it; the order of looks plays no part', () => {
    const looks = [byPort('nic1', []), whole, byPort('nic0', ALL)];
    const keys = (all: readonly Evidence[]) => [...pairsMeasured(viewOf(plan, all))].sort();
    expect(keys(looks)).toEqual(keys([...looks].reverse()));
    expect(keys([whole])).toEqual([]);
  });
});
