/** As tests/result/mutations.test.ts, thousands of them and from another seed each time: `npm run fuzz`. */
import { expect, test } from 'vitest';
import { messagesEndWell, resultsRenderWell } from '../result/mutations.js';

const SEED = Number(process.env.FUZZ_SEED ?? Date.now() % 1_000_000);

test(`3,000 changed results, seed ${SEED}`, { timeout: 1_800_000 }, () => {
  expect(resultsRenderWell(3_000, SEED).readable).toBeGreaterThan(500);
});

test(`2,000 changed messages of a place, seed ${SEED}`, { timeout: 1_800_000 }, () => {
  expect(messagesEndWell(2_000, SEED).taken).toBeGreaterThan(300);
});
