/** `fixtures/matrix.schema.json` is made from the schema that reads results back. `UPDATE_SCHEMA=1` writes it again. */
import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { expect, test } from 'vitest';
import { matrixJsonSchema } from '../../src/matrix/json-schema.js';

const FILE = path.join(import.meta.dirname, '../../fixtures/matrix.schema.json');

test('the schema in the fixtures is the one that results are read with', () => {
  const text = `${JSON.stringify(matrixJsonSchema(), null, 1)}\n`;
  if (process.env.UPDATE_SCHEMA === '1') writeFileSync(FILE, text);
  expect(readFileSync(FILE, 'utf8')).toBe(text);
});

test('it names what DESIGN 7 fixes', () => {
  const text = JSON.stringify(matrixJsonSchema());
  for (const key of [
    'facts',
    'outcome',
    'basis',
    'follows',
    'equipment',
    'singlePoints',
    'strangers',
    'jobs',
  ])
    expect(text).toContain(`"${key}"`);
});
