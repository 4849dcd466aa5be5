import { expect, test } from 'vitest';
import { messagesEndWell, resultsRenderWell } from './mutations.js';

test('whatever was changed in a result, it is refused or rendered so that nothing of it acts', () => {
  const { readable, marked } = resultsRenderWell(60, 2291);
  expect(readable).toBeGreaterThan(20);
  expect(marked).toBeGreaterThan(2);
}, 60_000);

test('whatever a place sends back, it is refused or judged and rendered', () => {
  expect(messagesEndWell(40, 2291).taken).toBeGreaterThan(10);
}, 60_000);
