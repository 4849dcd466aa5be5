import { describe, expect, test } from 'vitest';
import { PLANTED, unexpectedFindings } from '../../src/demo/planted.js';
import { demoOutcome, isWhole, renderDemoOutcome } from '../../src/demo/report.js';
import type { Finding } from '../../src/findings/index.js';
import type { Matrix } from '../../src/matrix/matrix.js';

const style = { width: 100, colour: false, unicode: true };

const finding = (code: string, subject: string, severity: Finding['severity'] = 'fix'): Finding => ({
  id: `${code}:${subject}`,
  follows: [],
  code,
  severity,
  subject,
  message: `${subject} is not as planned.`,
  evidence: [],
  advice: '',
});

/** Only the parts of a result that the demo looks at. */
function result(findings: readonly Finding[], verdict = 'differs', group = 'at-risk'): Matrix {
  return {
    findings,
    endpoints: PLANTED.filter(({ where }) => where.includes('/')).map(({ where }) => ({
      id: where,
      verdict,
    })),
    groups: [{ name: 'vault-1 data', verdict: group }],
  } as unknown as Matrix;
}

const all = PLANTED.map(({ code, where }) => finding(code, where));

test('every planted fault is found by its finding and the verdict together', () => {
  const outcome = demoOutcome(PLANTED, result(all), []);
  expect(outcome.missed).toEqual([]);
  expect(isWhole(outcome)).toBe(true);
});

describe('a fault counts as missed', () => {
  test.each(PLANTED.map((fault) => [`${fault.code} at ${fault.where}`, fault] as const))(
    'without its finding: %s',
    (_name, fault) => {
      const others = all.filter(({ code, subject }) => code !== fault.code || subject !== fault.where);
      expect(demoOutcome(PLANTED, result(others), []).missed).toEqual([fault]);
    },
  );

  test('where the endpoint is said to match, whatever the findings say', () => {
    const { missed } = demoOutcome(PLANTED, result(all, 'matches'), []);
    expect(missed.map(({ where }) => where)).not.toContain('vault-1 data');
    expect(missed).toHaveLength(PLANTED.length - 1);
  });

  test('where the group is said to be redundant', () => {
    const { missed } = demoOutcome(PLANTED, result(all, 'differs', 'redundant'), []);
    expect(missed.map(({ where }) => where)).toEqual(['vault-1 data']);
  });
});

test('a finding above note that nobody planted is a false alarm, a note is not', () => {
  const stray = finding('endpoint-missing', 'press-1/mgmt');
  const matrix = result([...all, stray, finding('observation-open', 'vault-1', 'note')]);
  expect(unexpectedFindings(matrix)).toEqual([stray]);
  const outcome = demoOutcome(PLANTED, matrix, [stray]);
  expect(isWhole(outcome)).toBe(false);
  expect(renderDemoOutcome(outcome, [], style)).toContain('NOT PLANTED');
});

test('the report names each fault, what found it, and the sum', () => {
  const text = renderDemoOutcome(demoOutcome(PLANTED, result(all), []), ['A note of the site.'], style);
  for (const { code, where } of PLANTED) expect(text.replace(/\s+/g, ' ')).toContain(`${code} at ${where}: `);
  expect(text).toContain(
    `All ${PLANTED.length} were found, and every other finding above a note follows from them.`,
  );
  expect(text).toContain('A note of the site.');
  expect(text).not.toContain('MISSED');
});
