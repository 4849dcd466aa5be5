/** A clear error or a valid model (issue 13.16). Ten thousand: tests/long/plans.test.ts. */
import { expect, test } from 'vitest';
import { plansEndWell } from './mutations.js';

test('300 changed plans', { timeout: 120_000 }, async () => {
  const { valid } = await plansEndWell(300, 20_300_102);
  expect(valid).toBeGreaterThan(5);
});
