/** A matrix.json of the shape that came before facts, outcome, causes and bases (issue 8, "Bad input"): read, and never taken for more than it says. */
import { expect, it } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { readMatrix } from '../../src/matrix/read.js';
import { renderPage } from '../../src/page/render.js';
import { buildMatrix, evidenceOf } from '../../src/result/build.js';
import { renderCsv } from '../../src/result/csv.js';
import { outcomeOf } from '../../src/result/outcome.js';
import { renderSummary } from '../../src/terminal/summary.js';
import { judge } from '../../src/verdicts/judge.js';
import { aGroup, anEndpoint, anEvidence, aPlan, aSighting, mac } from '../support/evidence.js';

const IDS = ['vault-1/A/mgmt', 'vault-1/B/mgmt'];
const plan = aPlan({
  endpoints: IDS.map((id, index) =>
    anEndpoint(id, { address: `192.0.2.1${index + 1}`, services: 'https', group: 'mgmt', speedMbps: 10_000 }),
  ),
  groups: [aGroup('mgmt', IDS, { independent: ['controller'] })],
});
const evidence = [
  anEvidence({
    sightings: IDS.map((_, index) =>
      aSighting(`192.0.2.1${index + 1}`, { by: mac(index + 1), answers: 'https' }),
    ),
  }),
];

/** What this program writes, without what older ones did not know; with the words that they had. */
function old(): string {
  const matrix = buildMatrix({
    run: { id: 'run-1', version: '0.0.1' },
    plan,
    evidence,
    judgement: judge(plan, evidence, { review: [] }),
  });
  const { outcome: _outcome, equipment: _equipment, ...rest } = matrix;
  const shape = {
    ...rest,
    endpoints: matrix.endpoints.map(({ facts: _facts, ...endpoint }) => ({
      ...endpoint,
      verdict: 'matches',
    })),
    groups: matrix.groups.map(({ basis: _basis, ...group }) => ({ ...group, verdict: 'redundant' })),
    findings: matrix.findings.map(({ id: _id, follows: _follows, seen: _seen, ...finding }) => finding),
    summary: { ...matrix.summary, facts: undefined },
  };
  return JSON.stringify(shape).replaceAll('"duplicateCheck":"proven"', '"duplicateCheck":"likely"');
}

const read = (): Matrix => readMatrix(old(), 'matrix.json');

it('is read, and all that it lacks is filled as unknown', () => {
  const matrix = read();
  expect(matrix.endpoints.map(({ facts }) => facts)).toEqual([[], []]);
  expect(matrix.groups.map(({ basis }) => basis)).toEqual(['planned']);
  expect(matrix.equipment).toEqual([]);
});

it('is not ready to hand over: it never said what it had not measured', () => {
  const matrix = read();
  expect(matrix.endpoints.every(({ verdict }) => verdict === 'matches')).toBe(true);
  expect(
    outcomeOf({ ...matrix, groups: matrix.groups.map((group) => ({ ...group, basis: 'measured' })) }).state,
  ).toBe('open');
});

it('can be shown on every screen', () => {
  const matrix = read();
  expect(renderSummary(matrix, { width: 100, colour: false, unicode: true })).not.toMatch(
    /ready to hand over/i,
  );
  expect(renderPage(matrix)).toContain('vault-1');
  expect(renderCsv(matrix)).toContain('vault-1');
});

it('is judged again by its evidence: the speed that nobody measured is unproven', () => {
  const { endpoints } = judge(plan, evidenceOf(read()), { review: [] });
  expect(endpoints.map(({ facts }) => facts.find(({ fact }) => fact === 'speed')?.state)).toEqual([
    'unproven',
    'unproven',
  ]);
});
