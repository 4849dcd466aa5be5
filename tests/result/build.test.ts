import { describe, expect, it } from 'vitest';
import { readMatrix } from '../../src/matrix/read.js';
import { Secret } from '../../src/plan/secret.js';
import { buildMatrix, evidenceOf } from '../../src/result/build.js';
import { exitStatusOf, summarise } from '../../src/result/summary.js';
import type { Evidence } from '../../src/sighting/types.js';
import { judge } from '../../src/verdicts/judge.js';
import {
  AT,
  aDevice,
  anEndpoint,
  anEvidence,
  aPlan,
  aSighting,
  mac,
  notRun,
  T0,
  T1,
} from '../support/evidence.js';

const plan = aPlan({
  site: { name: 'Harbour Library', reference: 'HL-2291' },
  devices: [aDevice('vault-1', { defaultAddresses: ['192.0.2.200'] })],
  endpoints: [
    anEndpoint('vault-1/A/mgmt', { address: '192.0.2.11', services: 'https', snmp: 'site-ro' }),
    anEndpoint('vault-1/B/mgmt', { address: '192.0.2.12', services: 'https' }),
  ],
  snmp: {
    'site-ro': {
      name: 'site-ro',
      version: '2c',
      port: 161,
      community: { kind: 'literal', value: new Secret('open-sesame') },
      at: AT,
    },
  },
});
const near: Evidence = anEvidence({
  sightings: [
    aSighting('192.0.2.11', { answers: 'https', reachReason: 'on link', mend: { add: 'a', remove: 'b' } }),
    aSighting('192.0.2.12', { by: false }),
    aSighting('192.0.2.200', { by: false }),
    aSighting('192.0.2.77', { by: mac(0x77) }),
  ],
});
const far: Evidence = anEvidence({
  vantage: { name: 'far' },
  startedAt: T1,
  sightings: [aSighting('192.0.2.11', { reach: 'routed', answers: 'https' })],
});
const make = (evidence: readonly Evidence[]) =>
  buildMatrix({
    run: { id: 'r1', version: '0.1.0' },
    plan,
    evidence,
    judgement: judge(plan, evidence, { review: [] }),
    capacity: [],
  });

describe('matrix.json', () => {
  const matrix = make([near, far]);
  const content = JSON.stringify(matrix);

  it('has the keys that DESIGN 7 fixes', () => {
    expect(Object.keys(matrix)).toEqual(
      expect.arrayContaining([
        'format',
        'run',
        'plan',
        'vantages',
        'endpoints',
        'defaults',
        'strangers',
        'groups',
        'findings',
        'summary',
      ]),
    );
    expect(matrix).toMatchObject({
      format: 'matchmark.matrix/1',
      run: { id: 'r1', startedAt: T0, finishedAt: T1, complete: true, stage: 'configured', version: '0.1.0' },
      plan: { site: 'Harbour Library', reference: 'HL-2291', files: plan.files },
      strangers: [{ address: '192.0.2.77', mac: mac(0x77), network: 'mgmt' }],
    });
    expect(matrix.vantages.map(({ name }) => name)).toEqual(['bench', 'far']);
    const [endpoint] = matrix.endpoints;
    expect(Object.keys(endpoint ?? {})).toEqual([
      'id',
      'device',
      'controller',
      'port',
      'role',
      'network',
      'address',
      'group',
      'verdict',
      'reasons',
      'sightings',
      'facts',
      'differences',
    ]);
    expect(endpoint?.sightings.map(({ vantage, reach, macs }) => [vantage, reach, macs])).toEqual([
      ['bench', 'on-link', [mac(1)]],
      ['far', 'routed', []],
    ]);
    expect(endpoint?.sightings[0]).toMatchObject({
      identity: {},
      link: {},
      tcp: [{ port: 443, outcome: 'accepted' }],
    });
  });

  it('holds no secret and not the credentials', () => {
    expect(content).not.toContain('open-sesame');
    expect(content).not.toContain('community');
    expect(matrix.plan.model).not.toHaveProperty('snmp');
  });

  it('counts verdicts and severities', () => {
    expect(matrix.summary).toMatchObject({ matches: 1, differs: 0, missing: 1, unproven: 0 });
    expect(matrix.summary.stop + matrix.summary.fix + matrix.summary.note).toBe(matrix.findings.length);
  });

  it('keeps each sighting once, and gives the evidence back whole', () => {
    expect(matrix.evidence[0]?.sightings.map(({ address }) => address)).toEqual([
      '192.0.2.200',
      '192.0.2.77',
    ]);
    const back = evidenceOf(readMatrix(content, 'matrix.json'));
    expect(back).toEqual(JSON.parse(JSON.stringify([near, far])));
  });

  it('judged again from the file says the same', () => {
    const back = readMatrix(content, 'matrix.json');
    const again = judge({ ...back.plan.model, snmp: {} }, evidenceOf(back), { review: [] });
    expect(again.endpoints.map(({ verdict }) => verdict)).toEqual(
      matrix.endpoints.map(({ verdict }) => verdict),
    );
    expect(again.findings).toEqual(JSON.parse(JSON.stringify(matrix.findings)));
  });

  it('of a run limited to some devices says which', () => {
    expect(make([{ ...near, only: ['vault-1'] }]).run.only).toEqual(['vault-1']);
    expect(matrix.run).not.toHaveProperty('only');
  });
});

describe('reading a result back', () => {
  const good = JSON.stringify(make([near]));
  const spoilt = (change: (value: Record<string, unknown>) => void): string => {
    const value = JSON.parse(good) as Record<string, unknown>;
    change(value);
    return JSON.stringify(value);
  };

  it('keeps keys that it does not know', () => {
    const read = readMatrix(
      spoilt((value) => Object.assign(value, { later: 1 })),
      'm.json',
    );
    expect(read).toHaveProperty('later', 1);
  });

  it.each<[string, string, RegExp]>([
    ['not JSON', '{', /^m\.json is not JSON/],
    ['another format', '{"format":"matchmark.survey/1"}', /its format is "matchmark\.survey\/1"/],
    ['no format', '[]', /its format is not said/],
    ['null', 'null', /its format is not said/],
    ['no endpoints', spoilt((value) => delete value.endpoints), /damaged or of another version: endpoints/],
    [
      'a not-run without a reason (DESIGN 7)',
      good.replace('"reason":"no credential"', '"why":"no credential"'),
      /endpoints\.0\.sightings\.0\.snmp/,
    ],
    ['an unknown verdict', good.replace('"verdict":"matches"', '"verdict":"fine"'), /endpoints\.0\.verdict/],
  ])('refuses %s, and says where', (_why, content, message) => {
    expect(() => readMatrix(content, 'm.json')).toThrowError(message);
  });
});

describe('summary and exit status', () => {
  it('is 1 from `fix` on (DESIGN 4)', () => {
    expect(exitStatusOf([])).toBe(0);
    expect(exitStatusOf([{ severity: 'note' }])).toBe(0);
    expect(exitStatusOf([{ severity: 'note' }, { severity: 'fix' }])).toBe(1);
    expect(exitStatusOf([{ severity: 'stop' }])).toBe(1);
  });
  it('counts', () => {
    expect(
      summarise(
        [
          { verdict: 'missing', facts: [] },
          { verdict: 'missing', facts: [] },
        ],
        [{ severity: 'stop' }],
      ),
    ).toEqual({
      matches: 0,
      differs: 0,
      missing: 2,
      unproven: 0,
      stop: 1,
      fix: 0,
      note: 0,
      facts: { matches: 0, differs: 0, missing: 0, unproven: 0 },
    });
  });
});

it('a sighting that is not the laptop’s own comes back as such', () => {
  const evidence = [
    anEvidence({ sightings: [aSighting('192.0.2.11', { own: true, presence: notRun('own') })] }),
  ];
  expect(evidenceOf(make(evidence))[0]?.sightings[0]?.own).toBe(true);
});
