import { describe, expect, test } from 'vitest';
import type { AddressSighting, MtuSighting } from '../../src/sighting/types.js';
import { judgeCabling } from '../cabling/judged.js';
import { aLink, someLinks } from '../cabling/tables.js';
import { aNetwork, anEndpoint, anEvidence, aPlan, aSighting } from '../support/evidence.js';

const ADDRESS = '198.51.100.11';
const NETWORKS = [aNetwork('data-a', '198.51.100.0/25', { mtu: 9000 })];

function judge(
  looks: readonly (MtuSighting | AddressSighting)[],
  more: { ifMtu?: number; endpoint?: Parameters<typeof anEndpoint>[1]; mtu?: number | undefined } = {},
) {
  const endpoint = anEndpoint('vault-1/A/data0', {
    role: 'data',
    address: ADDRESS,
    interface: 'eth2',
    ...more.endpoint,
  });
  const plan = aPlan({ endpoints: [endpoint], networks: NETWORKS });
  const sightings = looks.map((look) => ('address' in look ? look : aSighting(ADDRESS, { mtu: look })));
  const links = more.ifMtu === undefined ? [] : [someLinks('vault-1', [aLink(2, { mtu: more.ifMtu })])];
  const runs = sightings.map((sighting, n) =>
    anEvidence({ vantage: { name: `bench-${n}` }, sightings: [sighting] }),
  );
  const found = judgeCabling(plan, [...runs, anEvidence({ links })]).perEndpoint.get(endpoint.id);
  return { ...found, codes: found?.findings.map((f) => f.code) };
}
const smaller = (mtu: number, told: 'local' | 'router' | 'silent'): MtuSighting => ({
  outcome: 'smaller',
  mtu,
  asked: 9000,
  told,
});

describe('path MTU against the plan', () => {
  test('passes at the planned size', () => {
    expect(judge([{ outcome: 'passes', mtu: 9000 }])).toMatchObject({ codes: [], differences: [] });
  });

  // standards.md part 4, our experiment: a bridge port at 1500 drops 9000 without any message; a router sends ICMP (RFC 1191 §4).
  test.each([
    ['silent', 'as a switch drops them', 'every switch port'],
    ['router', 'a router refused', 'A router stands in the way'],
  ] as const)('smaller, told by %s', (told, evidence, advice) => {
    const found = judge([smaller(1500, told)]);
    expect(found.codes).toEqual(['mtu-below-plan']);
    expect(found.differences).toMatchObject([{ field: 'mtu', planned: '9000', measured: '1500' }]);
    expect(found.findings?.[0]?.evidence[0]).toContain(evidence);
    expect(found.findings?.[0]?.advice).toContain(advice);
  });

  test('the laptop’s own interface is the limit: a reason, no difference', () => {
    const found = judge([smaller(1500, 'local')]);
    expect(found.codes).toEqual([]);
    expect(found.reasons?.join(' ')).toContain('its own interface passes 1500 at most');
  });

  test('the endpoint’s own MTU goes before that of its network; more than planned is fine', () => {
    expect(judge([smaller(4000, 'silent')], { endpoint: { mtu: 4000 } }).codes).toEqual([]);
    expect(judge([smaller(4000, 'silent')], { endpoint: { mtu: 5000 } }).codes).toEqual(['mtu-below-plan']);
  });

  test.each<MtuSighting>([
    { outcome: 'no-reply', asked: 9000 },
    { outcome: 'not-run', cause: 'not-supported', reason: 'ping cannot forbid fragments' },
  ])('$outcome proves nothing', (mtu) => {
    expect(judge([mtu]).codes).toEqual([]);
  });

  test('a look through a router says nothing where one on the same link passes', () => {
    const routed = aSighting(ADDRESS, { reach: 'routed', mtu: smaller(1500, 'router') });
    expect(judge([routed, { outcome: 'passes', mtu: 9000 }]).codes).toEqual([]);
    expect(judge([routed]).codes).toEqual(['mtu-below-plan']);
  });

  test('Fibre Channel has no MTU of this kind', () => {
    expect(judge([smaller(1500, 'silent')], { endpoint: { media: 'fc' } }).codes).toEqual([]);
  });
});

describe('ifMtu of the port (RFC 2863)', () => {
  test('counts where echo proved nothing', () => {
    const found = judge([{ outcome: 'not-run', cause: 'not-supported', reason: 'no ping' }], { ifMtu: 1500 });
    expect(found.codes).toEqual(['mtu-below-plan']);
    expect(found.findings?.[0]?.message).toContain('set to MTU 1500, planned 9000');
    expect(judge([], { ifMtu: 9000 }).codes).toEqual([]);
  });

  test('is only remarked where packets of the planned size pass', () => {
    const found = judge([{ outcome: 'passes', mtu: 9000 }], { ifMtu: 1500 });
    expect(found.codes).toEqual([]);
    expect(found.reasons?.join(' ')).toContain('ifMtu 1500');
  });

  // Linux lets a VLAN tag's 4 octets pass beside the MTU of a port: seen in the lab, tests/lab/links.test.ts.
  test.each([
    [1500, 1500],
    [1504, 1500],
  ])('is the cause where %i octets pass and the port is set to %i', (passed, ifMtu) => {
    const found = judge([smaller(passed, 'silent')], { ifMtu });
    expect(found.findings?.map(({ message, advice }) => [message, advice])).toEqual([
      [
        expect.stringContaining('is set to MTU 1500, planned 9000 (ifMtu of'),
        expect.stringMatching(/^Set the port of the device/),
      ],
    ]);
    expect(found.findings?.[0]?.evidence).toEqual([
      expect.stringMatching(/^ifMtu of .* is 1500$/),
      expect.stringContaining(`${passed} octets pass`),
    ]);
  });

  test('is said beside the smaller hop or the router that stands before it', () => {
    for (const [told, ifMtu] of [
      ['silent', 5000],
      ['router', 1500],
    ] as const) {
      const found = judge([smaller(1500, told)], { ifMtu });
      expect(found.findings?.[0]?.message).toContain('On the way to');
      expect(found.findings?.[0]?.evidence).toHaveLength(2);
    }
  });
});
