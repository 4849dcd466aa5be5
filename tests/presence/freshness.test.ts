import { describe, expect, it } from 'vitest';
import { isFresh, isOldEntry } from '../../src/presence/freshness.js';
import type { TableRow } from '../../src/system/types.js';

const A = '00:00:5e:00:53:0a';
const B = '00:00:5e:00:53:0b';

function row(state: TableRow['state'], mac?: string, confirmedAgoS?: number): TableRow {
  return { address: '192.0.2.45', interface: 'eth0', state, mac, confirmedAgoS };
}

// States of RFC 4861 §7.3.2; the question is put at 10 000 ms.
describe('a row of the neighbour table', () => {
  it.each<[string, TableRow, TableRow | undefined, number, boolean]>([
    ['that was not there before', row('present', A), undefined, 10_050, true],
    ['that had no MAC before', row('present', A), row('failed'), 10_050, true],
    ['with another MAC than before', row('present', B), row('present', A), 10_050, true],
    ['stale before, confirmed now', row('present', A), row('stale', A), 10_050, true],
    ['still stale', row('stale', A), row('stale', A), 13_000, false],
    ['present before and now, age unknown', row('present', A), row('present', A), 13_000, false],
    [
      'present, proof told as 0 s ago after 0.5 s: may lie before the question',
      row('present', A, 0),
      row('present', A, 9),
      10_500,
      false,
    ],
    [
      'present, proof told as 0 s ago after 1.1 s: lies after the question',
      row('present', A, 0),
      row('present', A, 9),
      11_100,
      true,
    ],
    ['present, proof older than the question', row('present', A, 5), row('present', A, 3), 12_000, false],
    ['without an answer', row('incomplete'), undefined, 10_050, false],
    ['failed, with the MAC of old', row('failed', A), row('stale', A), 18_000, false],
  ])('%s', (_, now, before, atMs, expected) => {
    const earlier = before === undefined ? undefined : { row: before, atMs: 9_990 };
    expect(isFresh(now, atMs, earlier, 10_000)).toBe(expected);
  });
});

it('is old where a kernel would go on using it without asking', () => {
  expect(isOldEntry(row('present', A))).toBe(true);
  expect(isOldEntry(row('stale', A))).toBe(true);
  expect(isOldEntry(row('failed', A))).toBe(false);
  expect(isOldEntry(row('incomplete'))).toBe(false);
  expect(isOldEntry(undefined)).toBe(false);
});
