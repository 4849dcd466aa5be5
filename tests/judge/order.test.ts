import { expect, test } from 'vitest';
import { orderFindings } from '../../src/judge/order.js';
import type { Finding } from '../../src/judge/rules/index.js';

const make = (severity: Finding['severity'], code: string, subject: string, message = ''): Finding => ({
  code: code as Finding['code'],
  severity,
  subject,
  message,
  evidence: [],
  advice: '',
});

test('stop comes first, then fix, then note; within one severity code, then natural subject', () => {
  const ordered = orderFindings([
    make('note', 'a', 'x'),
    make('fix', 'b', 'vault-10'),
    make('fix', 'b', 'vault-2'),
    make('fix', 'a', 'z'),
    make('stop', 'z', 'z'),
  ]);
  expect(ordered.map((f) => `${f.severity} ${f.code} ${f.subject}`)).toEqual([
    'stop z z',
    'fix a z',
    'fix b vault-2',
    'fix b vault-10',
    'note a x',
  ]);
});

test('findings that are equal in all three keep the order they came in, and the input is left alone', () => {
  const input = [
    make('fix', 'a', 's', 'first'),
    make('fix', 'a', 's', 'second'),
    make('stop', 'a', 's', 'third'),
  ];
  expect(orderFindings(input).map((f) => f.message)).toEqual(['third', 'first', 'second']);
  expect(input[0]?.message).toBe('first');
});
