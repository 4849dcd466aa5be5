/** One lying device does not bury what was found of the others, and what is left out is counted (issue 13.4). */
import { expect, test } from 'vitest';
import { boundFindings, FINDING_LIMITS } from '../../src/findings/ceiling.js';
import { type Finding, finding } from '../../src/findings/index.js';
import { aDevice, anEndpoint, aPlan } from '../support/evidence.js';

const plan = aPlan({
  devices: ['vault-1', 'vault-2'].map((name) => aDevice(name)),
  endpoints: ['vault-1/mgmt', 'vault-2/mgmt'].map((id) => anEndpoint(id)),
});
const about = (subject: string, detail: string): Finding =>
  finding('device-in-trouble', subject, { endpoint: subject, service: 'https', detail });
const many = (subject: string, count: number): Finding[] =>
  Array.from({ length: count }, (_, n) => about(subject, `error ${n}`));
const told = (findings: readonly Finding[], code: string) =>
  findings.filter((one) => one.code === code).map(({ subject }) => subject);

test('what an honest site gives is kept as it is', () => {
  const site = [...many('vault-1/mgmt', 20), ...many('vault-2/mgmt', 20)];
  expect(boundFindings(plan, site)).toEqual(site);
});

test('one device fills its share, the rest is counted, and the other keeps all', () => {
  const kept = boundFindings(plan, [...many('vault-1/mgmt', 5_000), ...many('vault-2/mgmt', 20)]);
  expect(told(kept, 'device-in-trouble').filter((subject) => subject === 'vault-2/mgmt')).toHaveLength(20);
  const ofLiar = told(kept, 'device-in-trouble').filter((subject) => subject === 'vault-1/mgmt').length;
  expect(ofLiar).toBeGreaterThan(30);
  expect(JSON.stringify(kept).length).toBeLessThan(40_000);
  expect(kept.at(-1)).toMatchObject({ code: 'findings-left-out', subject: 'vault-1', severity: 'note' });
  expect(kept.at(-1)?.message).toContain(`${5_000 - ofLiar} further findings about vault-1`);
});

test('when liars have used up the sum, an honest device after them still has its floor', () => {
  const limits = { ...FINDING_LIMITS, sum: 1_000 };
  const kept = boundFindings(plan, [...many('vault-1/mgmt', 100), ...many('vault-2/mgmt', 5)], limits);
  expect(told(kept, 'device-in-trouble').filter((subject) => subject === 'vault-2/mgmt')).toHaveLength(5);
});

test('what hangs on no device of the plan counts together', () => {
  const strangers = Array.from({ length: 5_000 }, (_, n) => {
    const address = `10.0.${n >> 8}.${n & 255}`;
    return finding('stranger', address, { address, mac: '00:00:5e:00:53:77', network: 'mgmt' });
  });
  const kept = boundFindings(plan, strangers);
  expect(told(kept, 'stranger').length).toBeGreaterThan(254);
  expect(JSON.stringify(kept).length).toBeLessThan(410_000);
  expect(told(kept, 'findings-left-out')).toEqual(['stranger']);
});

test('a message and its evidence are cut where they are too long', () => {
  const long = {
    ...about('vault-1/mgmt', 'x'.repeat(9_000)),
    evidence: Array.from({ length: 99 }, () => 'y'.repeat(9_000)),
  };
  const [kept] = boundFindings(plan, [long], { ...FINDING_LIMITS, each: [1_000_000, 0], sum: 1_000_000 });
  expect(kept?.message.length).toBe(FINDING_LIMITS.text + 1);
  expect(kept?.evidence).toHaveLength(FINDING_LIMITS.lines + 1);
  expect(kept?.evidence.at(-1)).toBe('... and 67 more');
});
