import { describe, expect, test } from 'vitest';
import { followingWords, jobListOf } from '../../src/result/jobs.js';
import { aFinding } from '../support/matrix.js';

const B = 'vault-1/B/data0';
const refused = aFinding('service-refused', 'fix', B, 'refused');
const missing = aFinding('path-missing', 'fix', B, 'path');
const single = aFinding('single-point', 'fix', 'vault-1 data', 'single', { about: [B] });
const stranger = aFinding('stranger', 'note', '192.0.2.77', 'who');
const stop = aFinding('duplicate-address', 'stop', 'vault-2/A/mgmt', 'two');

/** `1 stop vault-2/A/mgmt`, `2 fix vault-1/B/data0 > 2.1 path-missing`. */
function told(...args: Parameters<typeof jobListOf>): string[] {
  const { jobs, notes } = jobListOf(...args);
  return [...jobs, ...notes].map(({ number, finding, follows }) =>
    [
      `${number} ${finding.severity} ${finding.code}`,
      ...follows.map((one) => `${one.label} ${one.finding.code}`),
    ].join(' > '),
  );
}

describe('jobs', () => {
  test('what the result says to follow stands beneath its cause; notes come after all jobs', () => {
    const path = { ...missing, follows: [refused.id] };
    const end = { ...single, follows: [path.id] };
    expect(told([stranger, end, path, refused, stop])).toEqual([
      '1 stop duplicate-address',
      '2 fix service-refused > 2.1 path-missing > 2.2 single-point',
      '3 note stranger',
    ]);
  });

  test('a result that does not say it is read as well as it can be', () => {
    expect(told([single, missing, refused])).toEqual([
      '1 fix service-refused > 1.1 path-missing > 1.2 single-point',
    ]);
  });

  test('what follows from several stands beneath the first and names the others', () => {
    const end = { ...single, follows: [refused.id, stop.id] };
    const [first] = jobListOf([refused, stop, end]).jobs.filter(({ follows }) => follows.length > 0);
    expect(first?.follows.map(({ also }) => also)).toEqual([[1]]);
    expect(first && followingWords(first)).toBe('1 more finding follows from it');
  });

  test('a cause that is not there, a circle and a note above leave a job a job', () => {
    expect(told([{ ...single, follows: ['nothing:like-it'] }])).toEqual(['1 fix single-point']);
    const circle = [
      { ...missing, follows: [single.id] },
      { ...single, follows: [missing.id] },
    ];
    expect(told(circle)).toEqual(['1 fix path-missing', '2 fix single-point']);
    expect(told([stranger, { ...single, follows: [stranger.id] }])).toEqual([
      '1 fix single-point',
      '2 note stranger',
    ]);
  });
});
