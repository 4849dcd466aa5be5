import { expect, test } from 'vitest';
import type { Finding } from '../../src/findings/index.js';
import { orderFindings } from '../../src/findings/order.js';

const make = (severity: Finding['severity'], code: string, subject: string, message = ''): Finding => ({
  id: `${code}:${subject}`,
  follows: [],
  code,
  severity,
  subject,
  message,
  evidence: [],
  advice: '',
});

test('stop comes first, then fix, then note; causes before consequences; then code, then natural subject', () => {
  const ordered = orderFindings([
    make('note', 'no-echo', 'x'),
    make('fix', 'group-lost', 'a'),
    make('fix', 'service-refused', 'vault-10'),
    make('fix', 'service-refused', 'vault-2'),
    make('fix', 'endpoint-missing', 'z'),
    make('stop', 'wrong-device', 'z'),
  ]);
  expect(ordered.map((f) => `${f.severity} ${f.code} ${f.subject}`)).toEqual([
    'stop wrong-device z',
    'fix endpoint-missing z',
    'fix service-refused vault-2',
    'fix service-refused vault-10',
    'fix group-lost a',
    'note no-echo x',
  ]);
});

test('findings that are equal in all three keep the order they came in, and the input is left alone', () => {
  const input = [
    make('fix', 'link-down', 's', 'first'),
    make('fix', 'link-down', 's', 'second'),
    make('stop', 'link-down', 's', 'third'),
  ];
  expect(orderFindings(input).map((f) => f.message)).toEqual(['third', 'first', 'second']);
  expect(input[0]?.message).toBe('first');
});

test('codes of another version are ordered like causes instead of stopping the run', () => {
  const ordered = orderFindings([
    make('fix', 'group-lost', 'a'),
    make('fix', 'toString', 'b'),
    make('fix', 'from-another-version', 'c'),
  ]);
  expect(ordered.map(({ code }) => code)).toEqual(['from-another-version', 'toString', 'group-lost']);
});
