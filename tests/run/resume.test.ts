import { expect, test } from 'vitest';
import { buildMatrix } from '../../src/result/build.js';
import { answersOfEvidence, onlyEvidence, ranOut, requireSameScope } from '../../src/run/resume.js';
import { judge } from '../../src/verdicts/judge.js';
import { anEndpoint, anEvidence, aPlan, aSighting, notRun } from '../support/evidence.js';

const plan = aPlan({
  endpoints: [
    anEndpoint('vault-1/A/mgmt', { address: '192.0.2.11', services: 'https' }),
    anEndpoint('vault-1/B/mgmt', { address: '192.0.2.12', services: 'https' }),
  ],
});
const whole = aSighting('192.0.2.11', { answers: 'https' });
const cut = aSighting('192.0.2.12', {
  answers: 'https',
  icmp: notRun('said in any language', undefined, 'interrupted'),
});

function interrupted(places = 1) {
  const evidence = Array.from({ length: places }, (_, index) =>
    anEvidence({ sightings: [whole, cut], complete: false, vantage: { name: `bench-${index}` } }),
  );
  return buildMatrix({
    run: { id: 'x', startedAt: 'a', finishedAt: 'b', complete: false, stage: 'configured', version: '0' },
    plan,
    evidence,
    judgement: judge(plan, evidence, { review: [] }),
  });
}

test('keeps what was asked to its end and nothing that was cut short', () => {
  const earlier = answersOfEvidence(onlyEvidence(interrupted()));
  expect(earlier.sightings.map(({ address }) => address)).toEqual(['192.0.2.11']);
});

test('asks again what this laptop had no room to ask', () => {
  const full = aSighting('192.0.2.13', { answers: 'https', icmp: notRun('x', undefined, 'laptop-full') });
  expect(ranOut([whole])).toBe(false);
  expect(ranOut([whole, full])).toBe(true);
  const { sightings } = answersOfEvidence(anEvidence({ sightings: [whole, full] }));
  expect(sightings).toEqual([whole]);
});

test.each([
  [
    'another plan',
    { plan: { ...plan, files: [{ name: 'plan.yaml', sha256: 'f'.repeat(64) }] }, stage: 'configured' },
    /plan has changed/,
  ],
  ['another stage', { plan, stage: 'power-on' }, /stage configured/],
  ['another scope', { plan, stage: 'configured', only: ['vault-1'] }, /another --only/],
] as const)('refuses %s', (_what, now, why) => {
  const { run, plan: planned } = interrupted();
  const { plan: changed, ...rest } = now;
  const scope = { files: planned.files, stage: run.stage };
  expect(() => requireSameScope(scope, { files: changed.files, ...rest })).toThrow(why);
});

test('refuses a run that joins several places', () => {
  expect(() => onlyEvidence(interrupted(2))).toThrow(/several places/);
});

test('takes what the laptop saw of a run that looked from other places as well', () => {
  const earlier = interrupted();
  const [own] = earlier.evidence;
  if (own === undefined) throw new Error('no evidence');
  const press = { ...own, vantage: { ...own.vantage, name: 'press-1', from: 'ssh://press-1.example' } };
  expect(onlyEvidence({ ...earlier, evidence: [own, press] }).vantage.name).toBe(own.vantage.name);
  expect(() => onlyEvidence({ ...earlier, evidence: [press] })).toThrow(/laptop itself did not look/);
});
