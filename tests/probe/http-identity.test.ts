import { describe, expect, it } from 'vitest';
import { clockAhead, httpIdentity } from '../../src/probe/http-identity.js';
import type { HttpReply } from '../../src/probe/http-question.js';

const NOW = Date.UTC(1994, 10, 6, 8, 49, 37);

// RFC 9110 §5.6.7: the three forms of one moment, 1994-11-06 08:49:37 UTC.
describe('clockAhead', () => {
  it.each([
    ['Sun, 06 Nov 1994 08:49:37 GMT', 0],
    ['Sunday, 06-Nov-94 08:49:37 GMT', 0],
    ['Sun Nov  6 08:49:37 1994', 0],
    ['Sun, 06 Nov 1994 09:49:37 GMT', 3600],
    ['Sun, 06 Nov 1994 08:39:36 GMT', -601],
    ['Thu, 01 Jan 1970 00:00:00 GMT', -NOW / 1000],
  ])('%s', (date, seconds) => {
    expect(clockAhead(date, NOW)).toBe(seconds);
  });

  it.each([undefined, '', 'yesterday', '0', 'Sun', '1994-11-06T08:49:37Z', `Sun, ${'9'.repeat(5000)}`])(
    '%j is no date',
    (date) => {
      expect(clockAhead(date, NOW)).toBeUndefined();
    },
  );
});

it('tells the clock of the answer that came first, and the title of the page that came last', () => {
  const reply = (headers: HttpReply['headers'], body: string): HttpReply => ({
    outcome: 'answered',
    status: 302,
    statusText: 'Found',
    headers,
    receivedAtMs: NOW,
    body: Buffer.from(body),
    cut: false,
    late: false,
    certificate: undefined,
  });
  const first = reply({ date: 'Sun, 06 Nov 1994 08:59:37 GMT', location: '/login' }, '');
  const last = reply({ date: 'Sun, 06 Nov 1994 18:59:37 GMT' }, '<title>Vault</title>');
  expect(httpIdentity(443, first, last)).toEqual({
    port: 443,
    status: 302,
    title: 'Vault',
    location: '/login',
    clockAheadSeconds: 600,
  });
});
