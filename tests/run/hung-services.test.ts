import { expect, test } from 'vitest';
import { createHungServices } from '../../src/run/hung-services.js';

const PATIENCE = { timeoutMs: 5_000, attempts: 1 };

test('a device of which many services kept silent is waited for briefly, and every other as long as ever', () => {
  const hung = createHungServices();
  for (let service = 0; service < 5; service += 1) hung.add('vault-1');
  expect(hung.patienceFor('vault-1', PATIENCE)).toEqual(PATIENCE);
  hung.add('vault-1');
  expect(hung.patienceFor('vault-1', PATIENCE)).toEqual({ timeoutMs: 1_000, attempts: 1 });
  expect(hung.patienceFor('vault-2', PATIENCE)).toEqual(PATIENCE);
  expect(hung.patienceFor('vault-1', { timeoutMs: 400, attempts: 3 })).toEqual({
    timeoutMs: 400,
    attempts: 3,
  });
});
