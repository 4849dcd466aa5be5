/** As tests/plan-file/mutations.test.ts, ten thousand of them and from another seed each time: `npm run fuzz`. */
import { expect, test } from 'vitest';
import { plansEndWell } from '../plan-file/mutations.js';

const SEED = Number(process.env.FUZZ_SEED ?? Date.now() % 1_000_000);

test(`10,000 changed plans, seed ${SEED}`, { timeout: 1_800_000 }, async () => {
  const { valid } = await plansEndWell(10_000, SEED);
  expect(valid).toBeGreaterThan(100);
});
