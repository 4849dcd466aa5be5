import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Rule } from '../../src/findings/define.js';
import { PLAN_RULES } from '../../src/findings/plan.js';
import { fromNumber, toNumber } from '../../src/plan/address.js';
import type { Plan } from '../../src/plan/model.js';
import { reviewPlan } from '../../src/review/review.js';
import { aDevice, aNetwork, anEndpoint, aPlan, mac } from '../support/evidence.js';
import { rounds } from '../support/rounds.js';

// The codes that DESIGN 6 fixes, redundancy as planned apart (its rules stand in redundancy.ts).
const FIXED = [
  'address-duplicate',
  'address-outside-network',
  'address-reserved',
  'address-is-network-or-broadcast',
  'networks-overlap',
  'gateway-outside-network',
  'mac-duplicate',
  'default-address-shared',
  'default-address-in-network',
  'not-enough-addresses',
  'rack-units-overlap',
  'feeds-not-redundant',
  'switch-port-duplicate',
  'literal-secret',
  'mask-mismatch',
];

test('every fixed plan code has its row', () => {
  expect(Object.keys(PLAN_RULES)).toEqual(expect.arrayContaining(FIXED));
});

describe.each(Object.entries(PLAN_RULES) as [string, Rule<never>][])('%s', (_code, row) => {
  test('has every text, and each is a sentence', () => {
    expect(row.family).toBe('plan');
    expect(row.title).toMatch(/^[A-Z].{5,60}[^.]$/);
    for (const text of Object.values(row.explain)) expect(text).toMatch(/^[A-Z`\d].{20,}\.\)?$/s);
    expect(Object.keys(row.explain)).toEqual(['means', 'matters', 'seen', 'todo']);
  });
});

/** Names small enough that everything meets everything: most plans made of these are wrong in several ways. */
function messyPlan(): fc.Arbitrary<Plan> {
  const address = fc.constantFrom(
    '192.0.2.0',
    '192.0.2.1',
    '192.0.2.5',
    '192.0.2.6',
    '192.0.2.7',
    '169.254.3.4',
    '198.51.100.3',
    '127.0.0.1',
    '2001:db8::',
    '2001:db8::5',
  );
  const maybe = <T>(value: fc.Arbitrary<T>) => fc.option(value, { nil: undefined });
  const network = fc.record({
    cidr: maybe(
      fc.constantFrom('192.0.2.0/29', '192.0.2.0/24', '198.51.100.0/30', '2001:db8::/64', '169.254.0.0/16'),
    ),
    gateway: maybe(address),
    vlan: maybe(fc.constantFrom(10, 20)),
    mtu: maybe(fc.constantFrom(1500, 9000)),
    routed: fc.boolean(),
    inferred: fc.boolean(),
    reserved: fc.constantFrom([], [{ first: '192.0.2.1', last: '192.0.2.5' }]),
  });
  const endpoint = fc.record({
    device: fc.constantFrom('vault-1', 'vault-2', 'loft-1'),
    controller: maybe(fc.constantFrom('A', 'B')),
    role: fc.constantFrom('management', 'data', 'switch', 'other', 'power', 'host'),
    network: maybe(fc.constantFrom('n0', 'n1', 'n2')),
    address: maybe(address),
    prefixBits: maybe(fc.constantFrom(24, 29)),
    mac: maybe(fc.constantFrom(mac(1), mac(2), '01:00:5e:00:00:01', '00:00:5e:00:01:07')),
    wwpn: maybe(fc.constantFrom('10:00:00:00:5e:00:53:01', '10:00:00:00:5e:00:53:02')),
    services: fc.constantFrom('', 'https ssh'),
    group: maybe(fc.constantFrom('g1', 'g2')),
    switch: maybe(fc.constant('loft-1')),
    switchPort: maybe(fc.constantFrom('1', '2')),
    mtu: maybe(fc.constantFrom(1500, 9000)),
    virtual: fc.boolean(),
    defaultAddress: maybe(address),
    extra: fc.constantFrom({}, { Gateway: '192.0.2.1' }, { mask: '255.255.255.88' }),
  });
  const device = fc.record({
    rack: maybe(fc.constant('R3')),
    units: maybe(fc.constantFrom({ from: 1, to: 2 }, { from: 2, to: 4 })),
    feeds: fc.constantFrom([], ['A'], ['A', 'A'], ['A', 'B']),
    defaultAddresses: fc.subarray(['192.0.2.5', '192.0.2.1', '203.0.113.1']),
  });
  return fc
    .record({
      networks: fc.array(network, { maxLength: 3 }),
      endpoints: fc.array(endpoint, { maxLength: 10 }),
      devices: fc.array(device, { maxLength: 3 }),
    })
    .map(({ networks, endpoints, devices }) =>
      aPlan({
        networks: networks.map((more, i) => aNetwork(`n${i}`, more.cidr, more)),
        devices: devices.map((more, i) => aDevice(['vault-1', 'vault-2', 'loft-1'][i] ?? 'x', more)),
        endpoints: endpoints.map(({ device: name, controller, ...more }, i) =>
          anEndpoint([name, ...(controller === undefined ? [] : [controller]), `p${i}`].join('/'), {
            ...more,
            network:
              more.network !== undefined && Number(more.network.slice(1)) < networks.length
                ? more.network
                : undefined,
          }),
        ),
      }),
    );
}

test('whatever is wrong with a plan, each finding is a whole sentence with evidence', () => {
  const seen = new Set<string>();
  fc.assert(
    fc.property(messyPlan(), (plan) => {
      const ids = new Set(plan.endpoints.map((endpoint) => endpoint.id));
      for (const finding of reviewPlan(plan).findings) {
        seen.add(finding.code);
        expect(finding.message).toMatch(/^\S.*\.$/s);
        expect(finding.advice).toMatch(/^[A-Z].*\.$/s);
        expect(`${finding.message} ${finding.advice} ${finding.evidence.join(' ')}`).not.toMatch(
          /undefined|null|NaN|\[object| {2}|\.\./,
        );
        expect(finding.subject).not.toBe('');
        expect(finding.evidence.length).toBeGreaterThan(0);
        for (const id of finding.about ?? []) expect(ids).toContain(id);
      }
    }),
    { numRuns: 400, seed: 2291 },
  );
  // The generator reaches all rules but the ones that need a credential, or switches with feeds.
  const apart = ['literal-secret', 'feeds-unequal'];
  expect([...seen].sort()).toEqual(
    Object.keys(PLAN_RULES)
      .filter((code) => !apart.includes(code))
      .sort(),
  );
});

test('the review of a plan does not depend on the order of its rows', () => {
  const brief = (plan: Plan) =>
    reviewPlan(plan)
      .findings.map((f) => `${f.severity} ${f.code}`)
      .sort();
  fc.assert(
    fc.property(messyPlan(), (plan) => {
      expect(brief({ ...plan, endpoints: [...plan.endpoints].reverse() })).toEqual(brief(plan));
    }),
    { numRuns: rounds(80, 200), seed: 2291 },
  );
});

/** Everything different that has to be, inside its network, nothing forgotten. */
function soundPlan(): fc.Arbitrary<Plan> {
  return fc
    .record({
      devices: fc.integer({ min: 1, max: 12 }),
      controllers: fc.integer({ min: 1, max: 2 }),
      dataNetworks: fc.integer({ min: 0, max: 3 }),
      prefix: fc.integer({ min: 16, max: 26 }),
      start: fc.integer({ min: 10, max: 20 }),
      jumbo: fc.boolean(),
      moving: fc.boolean(),
    })
    .map(({ devices, controllers, dataNetworks, prefix, start, jumbo, moving }) => {
      const names = ['mgmt', ...Array.from({ length: dataNetworks }, (_, i) => `data-${i}`)];
      const base = (index: number) => toNumber(`10.${index}.0.0`);
      const networks = names.map((name, i) =>
        aNetwork(name, `10.${i}.0.0/${prefix}`, {
          vlan: 10 + i,
          routed: i === 0,
          gateway: i === 0 ? '10.0.0.1' : undefined,
          reserved: [{ first: fromNumber(base(i) + 1n, 4), last: fromNumber(base(i) + 9n, 4) }],
          mtu: i === 0 || !jumbo ? 1500 : 9000,
        }),
      );
      let serial = 0;
      const endpoints = Array.from({ length: devices }, (_, d) => d + 1).flatMap((d) =>
        ['A', 'B'].slice(0, controllers).flatMap((controller, c) => [
          ...names.map((network, i) => {
            serial += 1;
            return anEndpoint(`vault-${d}/${controller}/${network}`, {
              network,
              address: fromNumber(base(i) + BigInt(start + (d - 1) * 2 + c), 4),
              prefixBits: prefix,
              role: i === 0 ? 'management' : 'data',
              mac: mac(serial),
              services: i === 0 ? 'https ssh' : 'iscsi-target',
              mtu: i > 0 && jumbo ? 9000 : undefined,
              switch: `loft-${c + 1}`,
              switchPort: `${serial}`,
            });
          }),
          ...(moving
            ? [
                anEndpoint(`vault-${d}/${controller}/float`, {
                  network: 'mgmt',
                  address: fromNumber(base(0) + BigInt(58 - d), 4),
                  virtual: true,
                  services: 'https',
                }),
              ]
            : []),
        ]),
      );
      return aPlan({
        networks,
        endpoints,
        devices: Array.from({ length: devices }, (_, i) =>
          aDevice(`vault-${i + 1}`, {
            rack: 'R3',
            units: { from: 1 + i * 3, to: 3 + i * 3 },
            feeds: ['A', 'B'],
            defaultAddresses: ['203.0.113.200'],
          }),
        ),
      });
    });
}

test('a sound plan gives no finding above note', () => {
  fc.assert(
    fc.property(soundPlan(), (plan) => {
      const { findings, capacity } = reviewPlan(plan);
      expect(findings.filter((finding) => finding.severity !== 'note')).toEqual([]);
      for (const row of capacity) expect(row.left).toBeGreaterThanOrEqual(0);
    }),
    { numRuns: rounds(80, 200), seed: 2291 },
  );
});
