/** As in tests/sighting/ceilings.test.ts, with as many endpoints as a hall has (issue 13.4): `npm run fuzz`. */
import { expect, test } from 'vitest';
import { lyingResult, measured } from '../sighting/lying-site.js';

test('4,096 endpoints that all lie in everything: the result stays below 64 MB, written in small parts', {
  timeout: 600_000,
}, () => {
  const { bytes, largest } = measured(lyingResult(4096).chunks);
  console.log(`${(bytes / 1e6).toFixed(1)} MB, largest part ${(largest / 1e6).toFixed(2)} MB`);
  expect(bytes / 1e6).toBeLessThan(64);
  expect(largest / 1e6).toBeLessThan(4);
});
