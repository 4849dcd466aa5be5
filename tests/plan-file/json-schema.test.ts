import { readFileSync, writeFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { equipmentJsonSchema, planJsonSchema } from '../../src/plan-file/json-schema.js';

/** `UPDATE_SCHEMA=1 npx vitest run tests/plan-file/json-schema.test.ts` writes them anew. */
test.each([
  ['plan.schema.json', planJsonSchema],
  ['equipment.schema.json', equipmentJsonSchema],
])('fixtures/%s is what the schemas say', (name, generate) => {
  const file = new URL(`../../fixtures/${name}`, import.meta.url);
  const text = `${JSON.stringify(generate(), null, 2)}\n`;
  if (process.env.UPDATE_SCHEMA === '1') writeFileSync(file, text);
  expect(readFileSync(file, 'utf8')).toBe(text);
});
