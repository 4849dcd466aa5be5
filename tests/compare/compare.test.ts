import { describe, expect, test } from 'vitest';
import { compareRuns } from '../../src/compare/compare.js';
import type { EndpointSighting, GroupResult, Matrix } from '../../src/matrix/matrix.js';
import { anEndpoint, aPlan, aSighting, mac } from '../support/evidence.js';
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
test('the same result later: nothing changed, nothing got worse', () => {
  expect(compareRuns(base, later(), '1')).toMatchObject({
    format: 'matchmark.compare/1',
    worse: false,
    findings: { new: [], cleared: [], changed: [] },
    equipment: { exchanged: [], identity: [], software: [], links: [] },
    cables: [],
    endpoints: { changed: [], new: [], gone: [], same: 3 },
    groups: { changed: [], new: [], gone: [] },
    observations: [],
    defaults: [],
    strangers: { new: [], gone: [] },
    plan: [],
  });
});

describe('verdicts', () => {
  test.each([
    ['matches', 'differs', 'worse', true],
    ['matches', 'missing', 'worse', true],
    ['matches', 'unproven', 'no-longer-proven', true],
    ['unproven', 'missing', 'found-wrong', false],
    ['differs', 'missing', 'otherwise', false],
    ['missing', 'matches', 'better', false],
  ] as const)('%s -> %s', (was, is, turn, worse) => {
    const comparison = compareRuns(aMatrix(plan, as(look(), was)), later({}, as(look(), is)), '1');
    expect(comparison.endpoints.changed).toEqual([
      { id: IDS[0], before: was, now: is, turn, worse, facts: [], reasons: ['because'] },
    ]);
    expect(comparison.worse).toBe(worse);
  });
});

test('what could not be tested from another place, or in part only, is no worse', () => {
  const blind = (more: Partial<Matrix>) => compareRuns(base, later(more, as(look(), 'unproven')), '1');
  expect(blind({}).worse).toBe(true);
  const elsewhere = blind({ vantages: [{ name: 'rack', platform: 'linux', interfaces: [] }] });
  expect(elsewhere.worse).toBe(false);
  expect(elsewhere.endpoints.changed).toMatchObject([{ turn: 'no-longer-proven', worse: false }]);
});

test('a fact that is not as planned any more is worse, though its endpoint was wrong before', () => {
  const service = (name: string, state: 'matches' | 'differs') =>
    ({
      fact: 'service',
      service: name,
      planned: name,
      measured: '',
      state,
      by: 'measured',
      vantage: 'bench',
      reason: '',
    }) as const;
  const found = (first: 'matches' | 'differs', second: 'matches' | 'differs') => () =>
    ({ verdict: 'differs', facts: [service('https', first), service('ssh', second)] }) as const;
  const finding = aFinding('service-missing', 'fix', IDS[0] ?? '', 'One of them.');
  // Both runs have one finding of one id: only the facts tell that it is another service now.
  const comparison = compareRuns(
    aMatrix(plan, found('differs', 'matches'), { findings: [finding] }),
    later({ findings: [finding] }, found('matches', 'differs')),
    '1',
  );
  expect(comparison.findings).toMatchObject({ new: [], cleared: [], same: 1 });
  expect(comparison.worse).toBe(true);
  expect(comparison.endpoints.changed[0]?.facts.map(({ service: name, turn }) => `${name} ${turn}`)).toEqual([
    'https better',
    'ssh worse',
  ]);
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
    ['unproven', 'at-risk', false],
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

test('strangers and what eyes saw', () => {
  const stranger = (address: string) => ({ address, mac: mac(9), network: 'mgmt' });
  const lamp = (verdict: 'matches' | 'differs') => ({
    subject: 'vault-1',
    item: 'lamp',
    expect: 'green',
    verdict,
  });
  const comparison = compareRuns(
    { ...base, strangers: [stranger('192.0.2.70')], observations: [lamp('matches')] },
    later({ strangers: [stranger('192.0.2.71')], observations: [lamp('differs')] }),
    '1',
  );
  expect(comparison).toMatchObject({
    worse: true,
    strangers: { new: [{ address: '192.0.2.71' }], gone: [{ address: '192.0.2.70' }] },
    observations: [{ subject: 'vault-1', item: 'lamp', before: 'matches', now: 'differs', worse: true }],
  });
});
