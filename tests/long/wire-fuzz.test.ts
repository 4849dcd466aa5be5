/** The same properties as tests/wire/fuzz.test.ts, some minutes of them: `npm run fuzz`. */
import { describe, it } from 'vitest';
import { BYTE_CASES, mutations, randomBytes, randomText, TEXT_CASES } from '../wire/fuzz-cases.js';

const RUNS = Number(process.env.MATCHMARK_FUZZ_RUNS ?? 100_000);

describe.each(BYTE_CASES)('$name', (decoder) => {
  it(`takes ${RUNS} random packets`, () => randomBytes(decoder, RUNS));
  it(`takes ${RUNS} changed packets`, () => mutations(decoder, RUNS));
});

it.each(TEXT_CASES)(`$name takes ${RUNS} texts`, (decoder) => randomText(decoder, RUNS));
