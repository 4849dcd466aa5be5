import { describe, it } from 'vitest';
import {
  BYTE_CASES,
  damagedOctets,
  mutations,
  randomBytes,
  randomText,
  TEXT_CASES,
  truncations,
} from './fuzz-cases.js';

describe.each(BYTE_CASES)('$name answers, and throws nothing,', (decoder) => {
  it('for every truncation of a good packet', () => truncations(decoder));
  it('for lengths and counts that lie', () => damagedOctets(decoder));
  it('for random bytes', () => randomBytes(decoder, 300));
  it('for good packets with pieces changed, cut and doubled', () => mutations(decoder, 300));
});

it.each(TEXT_CASES)('$name answers, and throws nothing, for text of any kind', (decoder) =>
  randomText(decoder, 300),
);
