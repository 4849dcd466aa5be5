import { expect, it } from 'vitest';
import { decodeKeys, encodeKeys } from '../../../src/wire/iscsi/keys.js';
import { WORKED_ANSWERS } from '../../support/scripted-iscsi-target.js';
import { mustDecode } from '../fixture.js';

const bytes = (text: string) => Buffer.from(text, 'utf8');

/** RFC 7143 appendix C; lengths with terminators counted in shared/standards.md part 7. */
it.each([
  ['a', 56],
  ['b', 236],
  ['c', 211],
] as const)('the worked answer (%s) is %i octets, there and back', (name, length) => {
  const text = WORKED_ANSWERS[name];
  expect(bytes(text).length).toBe(length);
  expect(Buffer.from(encodeKeys(mustDecode(decodeKeys(bytes(text))))).toString()).toBe(text);
});

it('keeps order, case, repeated keys, empty values and equals signs in values', () => {
  expect(mustDecode(decodeKeys(bytes('A=1\0a=2\0A=\0B=x=y\0')))).toEqual([
    ['A', '1'],
    ['a', '2'],
    ['A', ''],
    ['B', 'x=y'],
  ]);
});

it('takes a last pair without its zero, and zeros that are no pair', () => {
  expect(mustDecode(decodeKeys(bytes('A=1\0\0\0B=2')))).toEqual([
    ['A', '1'],
    ['B', '2'],
  ]);
  expect(mustDecode(decodeKeys(bytes('')))).toEqual([]);
});

it.each([
  ['no equals sign', 'TargetName\0', 0],
  ['no key', 'A=1\0=2\0', 4],
])('refuses text with %s, at its place', (_, text, at) => {
  expect(decodeKeys(bytes(text))).toMatchObject({ ok: false, why: 'malformed', at });
});
