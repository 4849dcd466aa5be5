import { expect, test } from 'vitest';
import { readMatrix } from '../../src/matrix/read.js';
import { buildMatrix, evidenceOf } from '../../src/result/build.js';
import { rejudge } from '../../src/run/rejudge.js';
import { fullReview } from '../../src/run/run.js';
import { judge } from '../../src/verdicts/judge.js';
import { anEndpoint, anEvidence, aPlan, aSighting, mac } from '../support/evidence.js';

const plan = aPlan({
  endpoints: [
    anEndpoint('vault-1/A/mgmt', { address: '192.0.2.11', services: 'https' }),
    // Twice: a finding of the review, which only the plan can tell.
    anEndpoint('vault-1/B/mgmt', { address: '192.0.2.11', services: 'https' }),
    anEndpoint('vault-1/A/fc0', { role: 'data', media: 'fc' }),
  ],
  observe: [{ subject: 'vault-1', item: 'power lamp', expect: 'steady green' }],
});
const survey = {
  format: 'matchmark.survey/1' as const,
  takenAt: '2030-01-01T00:00:00.000Z',
  vantage: 'bench',
  site: 'Test Hall',
  complete: true,
  entries: [],
  asked: { planned: 2, defaults: 0, networks: [] },
  silent: ['192.0.2.11'],
  unproven: [],
  findings: [],
};

function aRun() {
  const evidence = [anEvidence({ sightings: [aSighting('192.0.2.11', { by: mac(1), answers: 'https' })] })];
  const review = fullReview(plan);
  return buildMatrix({
    run: { id: 'x', startedAt: 'a', finishedAt: 'b', complete: true, stage: 'configured', version: '0' },
    plan,
    evidence,
    judgement: judge(plan, evidence, { review: review.findings, survey }),
    review: review.findings,
    capacity: review.capacity,
    survey,
  });
}

test('judging again without new evidence changes nothing, also after the result was written and read', () => {
  const run = aRun();
  const read = readMatrix(JSON.stringify(run), 'matrix.json');
  expect(JSON.parse(JSON.stringify(rejudge(read, evidenceOf(read))))).toEqual(
    JSON.parse(JSON.stringify(run)),
  );
});

test('an attestation closes its observation and leaves the rest of the findings', () => {
  const run = aRun();
  expect(run.findings.map(({ code }) => code)).toContain('observation-open');
  const [first, ...others] = evidenceOf(run);
  if (first === undefined) throw new Error('no evidence');
  const seen = {
    subject: 'vault-1',
    item: 'power lamp',
    saw: 'steady green',
    by: 'R. Hale',
    at: '2030-01-02T04:00:00.000Z',
  };
  const again = rejudge(run, [{ ...first, attestations: [seen] }, ...others]);
  expect(again.observations).toMatchObject([{ subject: 'vault-1', verdict: 'matches', by: 'R. Hale' }]);
  const open = (matrix: typeof run) =>
    matrix.findings.filter(({ code, subject }) => !(code === 'observation-open' && subject === 'vault-1'));
  expect(open(again)).toEqual(open(run));
  expect(
    again.findings.some(({ code, subject }) => code === 'observation-open' && subject === 'vault-1'),
  ).toBe(false);
});
