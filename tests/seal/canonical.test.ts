import { spawnSync } from 'node:child_process';
import fc from 'fast-check';
import { expect, it } from 'vitest';
import { canonicalJson } from '../../src/seal/canonical.js';

// The samples of RFC 8785 are written here from memory.
it('writes the example of RFC 8785 §3.2.2 as §3.2.3 has it', () => {
  const given = JSON.parse(
    '{"numbers":[333333333.33333329,1E30,4.50,2e-3,0.000000000000000000000000001],' +
      '"string":"\\u20ac$\\u000F\\u000aA\'\\u0042\\u0022\\u005c\\\\\\"\\/","literals":[null,true,false]}',
  ) as unknown;
  expect(canonicalJson(given)).toBe(
    '{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],' +
      '"string":"€$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}',
  );
});

it('sorts keys by UTF-16 code units, as RFC 8785 §3.2.3 asks', () => {
  const given = { '\u20ac': 1, '\r': 2, '\ufb33': 3, '1': 4, '\ud83d\ude00': 5, '\u0080': 6, '\u00f6': 7 };
  expect(Object.values(JSON.parse(canonicalJson(given)) as object)).toHaveLength(7);
  expect([...canonicalJson(given).matchAll(/:(\d)/g)].map((match) => match[1]).join('')).toBe('2467153');
});

it('means the same as what was given, and is the same however the keys stood', () => {
  fc.assert(
    fc.property(fc.jsonValue({ maxDepth: 4 }), (value) => {
      const text = canonicalJson(value);
      expect(JSON.parse(text)).toEqual(JSON.parse(JSON.stringify(value)));
      expect(canonicalJson(JSON.parse(text))).toBe(text);
    }),
    { numRuns: 200 },
  );
});

const jq = spawnSync('jq', ['--version']).status === 0;
it.skipIf(!jq)('is what jq -cjS writes of a seal', () => {
  const seal = {
    version: '1',
    files: [{ sha256: 'ab', path: 'größe/é 7.txt', size: 12 }],
    format: 'x',
    by: 'R. "Hale"',
  };
  const told = spawnSync('jq', ['-cjS', '.'], { input: JSON.stringify(seal), encoding: 'utf8' });
  expect(told.stdout).toBe(canonicalJson(seal));
});
