import { expect, test } from 'vitest';
import { readPortName } from '../../../src/plan-file/value/port-name.js';

// Common practice, no source: what spreadsheets make of 1/12, 12-1 and the like.
test.each([
  '12-Jan',
  'Jan-12',
  '12. Jan',
  '01-Dez',
  '1-d\u00e9c',
  '12-Jan-26',
  '01.12.2026',
  '1/12/2026',
  '2026-12-01',
])('%s is a date and no port', (text) => {
  expect(readPortName(text)).toMatchObject({ ok: false, code: 'two-meanings' });
});

test.each([
  '1/12',
  '1/0/12',
  '1-12',
  'mgmt',
  'e1',
  'mar1',
  'jan',
  'Gi1/0/1',
  'may-port',
  '2026',
  '12',
  'Eth 1/12',
  'set-a1',
  'set-12',
])('%s stays as it is', (text) => {
  expect(readPortName(text)).toEqual({ ok: true, value: text });
});
