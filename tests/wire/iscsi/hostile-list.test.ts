import { expect, test } from 'vitest';
import { answersTo } from '../../../src/wire/iscsi/negotiation.js';
import { targetsFrom } from '../../../src/wire/iscsi/targets.js';
import { workMs } from '../../support/work.js';

const HERE = { address: '192.0.2.10', port: 3260 };

test('a list of fifty thousand portals is cut, and costs time by its length, not by its square', () => {
  const portals = Array.from({ length: 50_000 }, (_, index): [string, string] => [
    'TargetAddress',
    `192.0.2.1:${(index % 65_535) + 1},1`,
  ]);
  const begin = workMs();
  const list = targetsFrom([['TargetName', 'iqn.2001-04.com.example:a'], ...portals, ...portals], HERE);
  expect(list.ok && list.value.targets[0]?.portals.length).toBe(256);
  expect(workMs() - begin).toBeLessThan(3_000);
});

test('keys named as parts of every JavaScript object are not understood (RFC 7143 §6.2)', () => {
  expect(
    answersTo([
      ['constructor', 'x'],
      ['__proto__', 'x'],
      ['toString', 'x'],
    ]),
  ).toEqual([
    ['constructor', 'NotUnderstood'],
    ['__proto__', 'NotUnderstood'],
    ['toString', 'NotUnderstood'],
  ]);
});
