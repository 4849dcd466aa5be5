import { expect, test } from 'vitest';
import { areApart } from '../../src/demo/apart.js';

test('one address under two names: what is taken at the first is taken at the second', async () => {
  expect(await areApart('127.0.0.1', '127.0.0.1')).toBe(false);
});

test('an address that this system does not have (RFC 5737 §3)', async () => {
  expect(await areApart('127.0.0.1', '192.0.2.1')).toBe(false);
  expect(await areApart('192.0.2.1', '127.0.0.1')).toBe(false);
});

test.runIf(process.platform === 'linux')('Linux has all of 127.0.0.0/8', async () => {
  expect(await areApart('127.10.1.11', '127.10.1.12')).toBe(true);
});
