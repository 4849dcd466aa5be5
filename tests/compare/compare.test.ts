import { describe, expect, test } from 'vitest';
import { compareRuns } from '../../src/compare/compare.js';
import type { EndpointResult, EndpointSighting, GroupResult, Matrix } from '../../src/matrix/matrix.js';
import { anEndpoint, aPlan, aSighting, mac, notRun } from '../support/evidence.js';
import { aFinding, aMatrix, type Found, LINK, seen } from '../support/matrix.js';

const IDS = ['vault-1/A/mgmt', 'vault-1/B/mgmt', 'vault-1/A/data0'];
const plan = aPlan({
  endpoints: IDS.map((id, index) => anEndpoint(id, { address: `192.0.2.${11 + index}`, services: 'https' })),
});

const look = (more: Partial<EndpointSighting> = {}): EndpointSighting =>
  seen('bench', aSighting('192.0.2.11', { by: mac(1), answers: 'https' }), {
    link: LINK,
    identity: {
      snmp: { sysName: 'vault-1-a', sysDescr: 'Example OS 4.1', serials: ['EX-0001'] },
      https: { port: 443, status: 200, server: 'example-mgmt/2' },
      ssh: { line: 'SSH-2.0-Example_1.0', port: 22 },
      certificate: {
        port: 443,
        subject: 'CN=vault-1-a.example',
        issuer: 'CN=vault-1-a.example',
        altNames: [],
        fingerprint256: 'aa:bb',
        validFrom: '2030-01-01',
        validTo: '2040-01-01',
        selfSigned: true,
      },
    },
    mtu: { outcome: 'passes', mtu: 9000 },
    cabling: { switch: 'loft-switch', port: '1/0/3', mac: mac(1), by: 'forwarding table' },
    ...more,
  });

const as = (sighting: EndpointSighting, verdict: Found['verdict'] = 'matches'): ((id: string) => Found) => {
  return (id) =>
    id === IDS[0]
      ? { verdict, sightings: [sighting], reasons: ['because'] }
      : { verdict: 'matches', sightings: [look()] };
};
const base = aMatrix(plan, as(look()));
const later = (more: Partial<Matrix> = {}, found = as(look())): Matrix => {
  const matrix = aMatrix(plan, found, more);
  return {
    ...matrix,
    run: { ...matrix.run, id: 'later', startedAt: '2031-01-02T03:04:05.000Z', ...more.run },
  };
};
const factsOf = (now: Matrix) =>
  compareRuns(base, now, '1').endpoints.changed.flatMap(({ id, facts }) =>
    facts.map(({ kind, fact, before, now: is }) => `${id} ${kind} ${fact}: ${before} -> ${is}`),
  );

test('the same result later: nothing changed, nothing got worse', () => {
  expect(compareRuns(base, later(), '1')).toMatchObject({
    format: 'matchmark.compare/1',
    worse: false,
    cautions: [],
    findings: { new: [], cleared: [], changed: [] },
    endpoints: { changed: [], new: [], gone: [], same: 3 },
    groups: { changed: [], new: [], gone: [] },
    defaults: [],
  });
});

describe('verdicts', () => {
  test.each([
    ['matches', 'differs', true],
    ['matches', 'missing', true],
    ['matches', 'unproven', true],
    ['differs', 'missing', false],
    ['missing', 'matches', false],
  ] as const)('%s -> %s', (was, is, worse) => {
    const comparison = compareRuns(aMatrix(plan, as(look(), was)), later({}, as(look(), is)), '1');
    expect(comparison.endpoints.changed).toEqual([
      { id: IDS[0], before: was, now: is, worse, facts: [], reasons: ['because'] },
    ]);
    expect(comparison.worse).toBe(worse);
  });
});

describe('facts', () => {
  const identity = look().identity;
  test.each<[string, Partial<EndpointSighting>, string]>([
    ['MAC', { macs: [mac(9)] }, `box MAC: ${mac(1)} -> ${mac(9)}`],
    [
      'serial number',
      { identity: { ...identity, snmp: { ...identity.snmp, serials: ['EX-0002'] } } },
      'box serial number: EX-0001 -> EX-0002',
    ],
    [
      'sysName',
      { identity: { ...identity, snmp: { ...identity.snmp, sysName: 'vault-9-a' } } },
      'box sysName: vault-1-a -> vault-9-a',
    ],
    [
      'certificate',
      {
        identity: {
          ...identity,
          ...(identity.certificate && { certificate: { ...identity.certificate, fingerprint256: 'cc:dd' } }),
        },
      },
      'box certificate fingerprint: aa:bb -> cc:dd',
    ],
    ['speed', { link: { ...LINK, speedMbps: 1000 } }, 'link link speed: 10G -> 1G'],
    ['MTU of the port', { link: { ...LINK, mtu: 1500 } }, 'link MTU of the port: 9000 -> 1500'],
    [
      'MTU of the path',
      { mtu: { outcome: 'smaller', mtu: 1500, asked: 9000, told: 'silent' } },
      'link MTU of the path: 9000 -> 1500',
    ],
    [
      'switch port',
      { cabling: { switch: 'loft-switch', port: '1/0/4', mac: mac(1), by: 'forwarding table' } },
      'link switch port: loft-switch 1/0/3 -> loft-switch 1/0/4',
    ],
    [
      'sysDescr',
      { identity: { ...identity, snmp: { ...identity.snmp, sysDescr: 'Example OS 4.2' } } },
      'software sysDescr: Example OS 4.1 -> Example OS 4.2',
    ],
    [
      'Server',
      { identity: { ...identity, https: { port: 443, status: 200, server: 'example-mgmt/3' } } },
      'software Server: example-mgmt/2 -> example-mgmt/3',
    ],
    [
      'SSH line',
      { identity: { ...identity, ssh: { line: 'SSH-2.0-Example_2.0', port: 22 } } },
      'software SSH line: SSH-2.0-Example_1.0 -> SSH-2.0-Example_2.0',
    ],
  ])('%s', (_what, more, expected) => {
    expect(factsOf(later({}, as(look(more))))).toEqual([`${IDS[0]} ${expected}`]);
  });

  test('what only one of the runs knew is no change', () => {
    const blind = look({ macs: [], identity: {}, link: {}, mtu: notRun(), cabling: undefined });
    expect(factsOf(later({}, as(blind)))).toEqual([]);
    expect(compareRuns(later({}, as(blind)), base, '1').endpoints.changed).toEqual([]);
  });

  test('an unplugged port tells no speed', () => {
    expect(factsOf(later({}, as(look({ link: { ...LINK, operStatus: 'down', speedMbps: 0 } }))))).toEqual([
      `${IDS[0]} link link: up -> down`,
    ]);
  });

  test('the order of looks and of serial numbers plays no part', () => {
    const two = (serials: string[]) => look({ identity: { snmp: { serials } } });
    const found = (...sightings: EndpointSighting[]) =>
      aMatrix(plan, () => ({ verdict: 'matches', sightings }));
    const comparison = compareRuns(
      found(two(['EX-1', 'EX-2']), two(['EX-3'])),
      found(two(['EX-3']), two(['EX-2', 'EX-1'])),
      '1',
    );
    expect(comparison.endpoints.changed).toEqual([]);
  });

  test('another address in the plan', () => {
    const moved = later();
    const endpoints = moved.endpoints.map(
      (one, index): EndpointResult => (index === 1 ? { ...one, address: '192.0.2.99', network: 'lab' } : one),
    );
    expect(factsOf({ ...moved, endpoints })).toEqual([
      `${IDS[1]} place address: 192.0.2.12 -> 192.0.2.99`,
      `${IDS[1]} place network: mgmt -> lab`,
    ]);
  });
});

test('endpoints that are new in the plan, or gone from it', () => {
  const less = { ...base, endpoints: base.endpoints.slice(1) };
  expect(compareRuns(less, later(), '1').endpoints).toMatchObject({
    new: [{ id: IDS[0], address: '192.0.2.11', verdict: 'matches' }],
    gone: [],
    same: 2,
  });
  expect(compareRuns(base, { ...later(), endpoints: less.endpoints }, '1')).toMatchObject({
    worse: false,
    endpoints: { new: [], gone: [{ id: IDS[0] }], same: 2 },
  });
});

describe('groups', () => {
  const group = (
    verdict: GroupResult['verdict'],
    points: string[] = [],
    name = 'vault-1 data',
  ): GroupResult => ({
    name,
    need: 1,
    basis: 'measured',
    inferred: false,
    planned: [],
    live: [],
    verdict,
    reasons: [],
    singlePoints: points.map((point) => ({ kind: 'switch', name: point })),
    pairs: [],
    paths: [],
    asPlanned: { verdict: 'redundant', singlePoints: [], pairs: [] },
  });
  const compared = (was: GroupResult, is: GroupResult) =>
    compareRuns({ ...base, groups: [was] }, later({ groups: [is] }), '1');

  test.each([
    ['redundant', 'at-risk', true],
    ['redundant', 'unproven', true],
    ['at-risk', 'lost', true],
    ['at-risk', 'redundant', false],
    ['lost', 'at-risk', false],
  ] as const)('%s -> %s', (was, is, worse) => {
    const comparison = compared(group(was), group(is));
    expect(comparison.groups.changed).toMatchObject([{ before: was, now: is, worse }]);
    expect(comparison.worse).toBe(worse);
  });

  test('single points that came and went', () => {
    expect(
      compared(group('at-risk', ['loft', 'attic']), group('at-risk', ['attic', 'yard'])).groups.changed,
    ).toMatchObject([
      {
        newSinglePoints: [{ kind: 'switch', name: 'yard' }],
        goneSinglePoints: [{ kind: 'switch', name: 'loft' }],
      },
    ]);
  });

  test('groups that are new or gone', () => {
    expect(compared(group('redundant'), group('redundant', [], 'vault-2 data')).groups).toEqual({
      changed: [],
      new: ['vault-2 data'],
      gone: ['vault-1 data'],
    });
  });
});

test('default addresses that answer otherwise', () => {
  const outcome = (word: 'silent' | 'answers') => [
    { address: '203.0.113.200', devices: ['vault-1'], macs: [], outcome: word, reasons: [] },
  ];
  const comparison = compareRuns(
    { ...base, defaults: outcome('silent') },
    later({ defaults: outcome('answers') }),
    '1',
  );
  expect(comparison.defaults).toEqual([{ address: '203.0.113.200', before: 'silent', now: 'answers' }]);
});

test('a new stop or fix is worse, a new note and a cleared one are not', () => {
  const fix = aFinding('endpoint-missing', 'fix', IDS[0] ?? '', 'It is missing.');
  const note = aFinding('no-echo', 'note', IDS[0] ?? '', 'It gives no echo.');
  expect(compareRuns(base, later({ findings: [fix] }), '1').worse).toBe(true);
  expect(compareRuns(base, later({ findings: [note] }), '1').worse).toBe(false);
  expect(compareRuns({ ...base, findings: [fix] }, later(), '1')).toMatchObject({
    worse: false,
    findings: { cleared: [{ code: 'endpoint-missing' }] },
  });
});
