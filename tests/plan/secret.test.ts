import { inspect } from 'node:util';
import { expect, test } from 'vitest';
import { forgetSecrets, Secret, secretFault, wipeSecrets } from '../../src/plan/secret.js';

test('a secret shows itself to nobody who does not ask for it', () => {
  const secret = new Secret('hunter-secret-7');
  expect(`${secret} ${JSON.stringify({ secret })} ${inspect({ secret }, { depth: 9 })}`).not.toContain(
    'hunter',
  );
  expect(secret.reveal()).toBe('hunter-secret-7');
});

test('the last net takes secrets out of a message by their value', () => {
  forgetSecrets();
  new Secret('hunter-secret');
  new Secret('hunter-secret-7');
  new Secret('abc');
  expect(wipeSecrets('failed for hunter-secret-7 and hunter-secret: abc')).toBe(
    'failed for (hidden) and (hidden): abc',
  );
  forgetSecrets();
  expect(wipeSecrets('hunter-secret-7')).toBe('hunter-secret-7');
});

test.each([
  ['', 'empty'],
  ['one\ntwo', 'several-lines'],
  ['one\u2028two', 'several-lines'],
  ['x'.repeat(257), 'too-long'],
  ['a\u0000b', 'not-printable'],
  ['a\u202eb', 'not-printable'],
  ['x'.repeat(256), undefined],
  ['pass phrase with blanks é', undefined],
])('%j: %s', (text, fault) => {
  expect(secretFault(text)).toBe(fault);
});
