import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { MatchmarkError } from '../../src/errors.js';
import type { Matrix } from '../../src/matrix/matrix.js';
import { readMatrix } from '../../src/matrix/read.js';
import type { Plan } from '../../src/plan/model.js';
import { buildMatrix, evidenceOf } from '../../src/result/build.js';
import { combineRuns, type GivenRun } from '../../src/result/combine.js';
import { rejudge } from '../../src/run/rejudge.js';
import { fullReview } from '../../src/run/run.js';
import type { Evidence } from '../../src/sighting/types.js';
import { judge } from '../../src/verdicts/judge.js';
import { aNetwork, anEndpoint, anEvidence, aPlan, aSighting, mac, notRun } from '../support/evidence.js';

const plan = aPlan({
  networks: [aNetwork('mgmt', '192.0.2.0/24'), aNetwork('data-a', '198.51.100.0/25')],
  endpoints: [
    anEndpoint('vault-1/A/mgmt', { address: '192.0.2.11', services: 'https' }),
    anEndpoint('vault-1/A/data0', { role: 'data', address: '198.51.100.11', services: 'iscsi-target' }),
  ],
  observe: [{ subject: 'vault-1', item: 'power lamp', expect: 'steady green' }],
});

function runOf(evidence: Evidence, id: string, from: Plan = plan): Matrix {
  const review = fullReview(from);
  const built = buildMatrix({
    run: { id, version: '0.1.0' },
    plan: from,
    evidence: [evidence],
    judgement: judge(from, [evidence], { review: review.findings }),
    review: review.findings,
    capacity: review.capacity,
  });
  // As it comes from a file.
  return readMatrix(JSON.stringify(built), id);
}

const here = (address: string, last: number, service: string) =>
  aSighting(address, { by: mac(last), answers: service });
const away = (address: string) =>
  aSighting(address, {
    reach: 'no-route',
    reachReason: 'this laptop has no address there',
    presence: notRun('not on this link'),
    icmp: notRun('no route'),
  });
const port = (last: number, address: string) => ({
  interfaces: [{ name: 'eth0', mac: mac(last), addresses: [address], up: true }],
});

const hall = anEvidence({
  vantage: { name: 'hall', ...port(0xf1, '192.0.2.250/24') },
  sightings: [here('192.0.2.11', 1, 'https'), away('198.51.100.11')],
  attestations: [
    {
      subject: 'vault-1',
      item: 'power lamp',
      saw: 'steady green',
      by: 'R. Hale',
      at: '2030-01-02T04:00:00Z',
    },
  ],
});
const rack = anEvidence({
  vantage: { name: 'rack', ...port(0xf2, '198.51.100.120/25') },
  startedAt: '2030-01-02T05:00:00.000Z',
  finishedAt: '2030-01-02T05:01:00.000Z',
  sightings: [away('192.0.2.11'), here('198.51.100.11', 2, 'iscsi-target')],
  drills: [
    {
      group: 'vault-1 data',
      pulled: { kind: 'cable', name: 'vault-1/A/data0' },
      outcome: 'skipped',
      by: 'R. Hale',
      startedAt: '2030-01-02T05:00:00Z',
      finishedAt: '2030-01-02T05:01:00Z',
      resolutionMs: 100,
      gaps: [],
    },
  ],
});

const given = (...matrices: readonly Matrix[]): GivenRun[] =>
  matrices.map((matrix) => ({ name: `run-${matrix.run.id}`, matrix }));
function combined(...matrices: readonly Matrix[]): Matrix {
  const { base, evidence } = combineRuns(given(...matrices), { id: 'both', version: '0.1.0' });
  return rejudge(base, evidence);
}
const verdicts = (matrix: Matrix) =>
  Object.fromEntries(matrix.endpoints.map(({ id, verdict }) => [id, verdict]));
const refusal = (...matrices: readonly Matrix[]): string => {
  try {
    combineRuns(given(...matrices), { id: 'both', version: '0.1.0' });
  } catch (error) {
    if (error instanceof MatchmarkError && error.code === 'usage') return error.message;
    throw error;
  }
  throw new Error('was taken');
};

const A = runOf(hall, 'a');
const B = runOf(rack, 'b');

describe('two places', () => {
  const both = combined(A, B);

  test('what was unproven from one and matches from the other matches', () => {
    expect(verdicts(A)).toEqual({ 'vault-1/A/mgmt': 'matches', 'vault-1/A/data0': 'unproven' });
    expect(verdicts(B)).toEqual({ 'vault-1/A/mgmt': 'unproven', 'vault-1/A/data0': 'matches' });
    expect(verdicts(both)).toEqual({ 'vault-1/A/mgmt': 'matches', 'vault-1/A/data0': 'matches' });
    expect(both.summary).toMatchObject({ matches: 2, unproven: 0 });
  });

  test('both looks, what eyes saw and the pull tests are kept, and read back', () => {
    expect(both.vantages.map(({ name }) => name)).toEqual(['hall', 'rack']);
    expect(both.observations).toMatchObject([{ verdict: 'matches', by: 'R. Hale' }]);
    const kept = evidenceOf(readMatrix(JSON.stringify(both), 'matrix.json'));
    expect(kept.map(({ attestations, drills }) => [attestations.length, drills.length])).toEqual([
      [1, 0],
      [0, 1],
    ]);
    expect(kept.flatMap(({ sightings }) => sightings)).toHaveLength(4);
  });

  test('the run lasts from the first look to the last', () => {
    expect(both.run).toMatchObject({
      id: 'both',
      startedAt: hall.startedAt,
      finishedAt: rack.finishedAt,
      complete: true,
      stage: 'configured',
    });
    expect(combined(A, runOf({ ...rack, complete: false }, 'b')).run.complete).toBe(false);
  });

  test('who looked is named, each once, the first first; nobody where nobody is known', () => {
    const by = (matrix: Matrix, who: string): Matrix => ({ ...matrix, run: { ...matrix.run, by: who } });
    expect(combined(A, B).run.by).toBeUndefined();
    expect(combined(by(B, 'R. Hale'), by(A, 'R. Hale')).run.by).toBe('R. Hale');
    expect(combined(by(B, 'N. Orr'), by(A, 'R. Hale')).run.by).toBe('R. Hale and N. Orr');
  });

  test('combining a combination with a third place is combining all three', () => {
    const yard = runOf(
      { ...rack, startedAt: '2030-01-02T06:00:00.000Z', vantage: { ...rack.vantage, name: 'yard' } },
      'c',
    );
    expect(combined(both, yard)).toEqual(combined(A, B, yard));
  });
});

test('the order of the runs plays no part', () => {
  const same = runOf(
    {
      ...hall,
      startedAt: '2030-01-02T07:00:00.000Z',
      vantage: { ...hall.vantage, ...port(0xf3, '192.0.2.251/24') },
    },
    'c',
  );
  const straight = JSON.stringify(combined(A, B, same));
  fc.assert(
    fc.property(fc.shuffledSubarray([A, B, same], { minLength: 3 }), (runs) => {
      expect(JSON.stringify(combined(...runs))).toBe(straight);
    }),
  );
});

describe('one laptop at two places', () => {
  const second = runOf({ ...rack, vantage: { ...rack.vantage, name: 'hall' } }, 'b');

  test('gets a number at the later one, and that is said', () => {
    const { notes } = combineRuns(given(second, A), { id: 'both', version: '0.1.0' });
    expect(notes).toEqual([
      'hall is the vantage of two runs; the later one (198.51.100.120/25) is called "hall (2)" here. Next time, name it with check --vantage.',
    ]);
    const both = combined(second, A);
    expect(both.vantages.map(({ name }) => name)).toEqual(['hall', 'hall (2)']);
    expect(verdicts(both)).toEqual({ 'vault-1/A/mgmt': 'matches', 'vault-1/A/data0': 'matches' });
  });

  test('never takes a name that is another vantage’s', () => {
    const third = runOf(
      { ...rack, startedAt: '2030-01-03', vantage: { ...rack.vantage, name: 'hall (2)' } },
      'c',
    );
    expect(combined(A, second, third).vantages.map(({ name }) => name)).toEqual([
      'hall',
      'hall (3)',
      'hall (2)',
    ]);
  });
});

describe('runs that do not belong together', () => {
  test('one alone', () => expect(refusal(A)).toMatch(/one run alone/));

  test('a run with itself, with an attested copy of itself, and with a combination that holds it', () => {
    const said = /hold the same look at the site: a run cannot be combined with itself/;
    expect(refusal(A, A)).toMatch(said);
    const [look] = evidenceOf(A);
    if (look === undefined) throw new Error('no evidence');
    const copy = rejudge(A, [{ ...look, attestations: [] }]);
    expect(refusal(A, { ...copy, run: { ...copy.run, id: 'copy' } })).toMatch(said);
    expect(refusal(B, combined(A, B))).toMatch(said);
  });

  test('another plan: the files that differ are named, and names alone are no difference', () => {
    const files = (list: string, name = 'plan.yaml') => [
      { name, sha256: '1'.repeat(64) },
      { name: 'address-list.csv', sha256: list.repeat(64) },
    ];
    const first = runOf(hall, 'a', { ...plan, files: files('2') });
    expect(refusal(first, runOf(rack, 'b', { ...plan, files: files('3') }))).toBe(
      'run-b was made with another plan than run-a: address-list.csv differs',
    );
    expect(
      verdicts(combined(first, runOf(rack, 'b', { ...plan, files: files('2', 'copy.yaml') }))),
    ).toMatchObject({
      'vault-1/A/data0': 'matches',
    });
  });

  test('another stage', () => {
    expect(refusal(A, runOf({ ...rack, stage: 'power-on' }, 'b'))).toMatch(
      /^run-b is of the stage power-on and run-a of the stage configured/,
    );
  });
});

test('runs that were held against different surveys are held against the latest, and that is said', () => {
  const survey = (takenAt: string) => ({
    format: 'matchmark.survey/1' as const,
    takenAt,
    vantage: 'hall',
    site: 'Test Hall',
    complete: true,
    entries: [],
    asked: { planned: 2, defaults: 0, networks: [] },
    silent: [],
    unproven: [],
    findings: [],
  });
  const old = { ...A, survey: survey('2030-01-01') };
  const late = { ...B, survey: survey('2030-01-02') };
  const { base, notes } = combineRuns(given(late, old), { id: 'both', version: '0' });
  expect(base.survey?.takenAt).toBe('2030-01-02');
  expect(notes).toEqual([expect.stringMatching(/2 different surveys/)]);
  expect(combineRuns(given(old, B), { id: 'both', version: '0' })).toMatchObject({
    base: { survey: { takenAt: '2030-01-01' } },
    notes: [],
  });
});
