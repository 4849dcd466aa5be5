import { expect, it } from 'vitest';
import { itemFor, openItems } from '../../src/attest/open-items.js';
import { aRunToLookAt } from './run.js';

const matrix = aRunToLookAt();

it('has all that is open, in the order of the visit: what the plan asks for, then what nothing measured', () => {
  expect(
    openItems(matrix).map(({ when = '-', subject, item, expect: wanted }) =>
      [when, subject, item, wanted].join(' | '),
    ),
  ).toEqual([
    'racked | vault-1 | rails | latched',
    'cabled | vault-1/A/data0 | switch port | loft-1 port 11',
    'powered | vault-1 | power lamp | steady green',
    'powered | vault-1/A/data0 | speed | 10G',
    'powered | vault-1/A/fc0 | link light | lit',
    'handover | Test Hall | keys | handed over',
  ]);
});

it('reads a result from before the facts: the finding says which light is open', () => {
  const before = { ...matrix, endpoints: matrix.endpoints.map((one) => ({ ...one, facts: [] })) };
  expect(openItems(before).map(({ subject, item }) => `${subject}: ${item}`)).toEqual([
    'vault-1: rails',
    'vault-1: power lamp',
    'vault-1/A/fc0: link light',
    'Test Hall: keys',
  ]);
  expect(itemFor(before, 'vault-1/A/data0', 'switch port')?.expect).toBe('loft-1 11');
});

it('does not send anybody to what no run looked at', () => {
  const facts = (cause: string) => ({
    ...matrix,
    endpoints: matrix.endpoints.map((one) => ({
      ...one,
      facts: one.facts.map((fact) => (fact.fact === 'speed' ? { ...fact, cause } : fact)),
    })),
  });
  const items = (run: typeof matrix) => openItems(run).map(({ item }) => item);
  expect(items(facts('agent-silent'))).toContain('speed');
  expect(items(facts('out-of-scope'))).not.toContain('speed');
});

it.each([
  ['vault-1', 'Power  lamp', 'steady green'],
  ['VAULT-1/a/data0', 'cable label', 'loft-1 port 11'],
  ['vault-1/A/data0', 'speed lamp', '10G'],
  ['vault-1/A/fc0', 'link lamp', 'lit'],
  ['vault-1/A/fc0', 'light at the port', 'lit'],
  ['vault-1', 'fc0 link light', 'lit'],
])('%s: %s is planned, expected %s', (subject, item, wanted) => {
  expect(itemFor(matrix, subject, item)?.expect).toBe(wanted);
});

it.each([
  ['vault-1', 'power lmap'],
  ['vault-1', 'aerial'],
  ['vault-2', 'power lamp'],
  ['vault-1/A/fc0', 'speed'],
])('%s: %s is not', (subject, item) => {
  expect(itemFor(matrix, subject, item)).toBeUndefined();
});
