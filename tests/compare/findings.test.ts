import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { compareFindings, isWorse } from '../../src/compare/findings.js';
import { aFinding } from '../support/matrix.js';

const missing = (severity: 'fix' | 'note' = 'fix', message = 'It is not there.') =>
  aFinding('service-missing', severity, 'vault-1/A/mgmt', message);

test('a finding is the same by its id, whatever its words are', () => {
  const reworded = missing('fix', 'Nothing there speaks, 3 of 4.');
  expect(compareFindings([missing()], [reworded])).toEqual({ new: [], cleared: [], changed: [], same: 1 });
  const elsewhere = aFinding('service-missing', 'fix', 'vault-1/B/mgmt', 'It is not there.');
  expect(compareFindings([missing()], [elsewhere])).toMatchObject({ new: [elsewhere], cleared: [missing()] });
});

describe('results of versions that named no ids', () => {
  const bare = (finding = missing()) => ({ ...finding, id: '' });

  test('code and subject name a finding', () => {
    expect(compareFindings([bare()], [missing()])).toMatchObject({ new: [], cleared: [], same: 1 });
  });

  test('of two with one code and subject the second is counted, so that neither hides the other', () => {
    const both = compareFindings([bare()], [bare(), bare()]);
    expect(both.new.map(({ id }) => id)).toEqual(['service-missing:vault-1/A/mgmt:2']);
    expect(compareFindings([bare(), bare()], [missing()]).cleared).toHaveLength(1);
  });
});

test('a finding that became more severe is worse, one that became less is not', () => {
  const compared = (was: 'fix' | 'note', is: 'fix' | 'note') =>
    compareFindings([missing(was)], [missing(is)]);
  expect(isWorse(compared('note', 'fix'))).toBe(true);
  expect(isWorse(compared('fix', 'note'))).toBe(false);
  expect(compared('fix', 'note').changed).toHaveLength(1);
});

test('every finding stands in exactly one place, and the other way round new is cleared', () => {
  const finding = fc
    .record({
      code: fc.constantFrom('service-missing', 'no-echo'),
      severity: fc.constantFrom('stop', 'fix', 'note'),
      subject: fc.constantFrom('a', 'b'),
      message: fc.constantFrom('one 1', 'one 2', 'two'),
      named: fc.boolean(),
    })
    .map(({ code, severity, subject, message, named }) => {
      const made = aFinding(code, severity, subject, message);
      return named ? made : { ...made, id: '' };
    });
  const findings = fc.array(finding, { maxLength: 8 });
  fc.assert(
    fc.property(findings, findings, (before, now) => {
      const there = compareFindings(before, now);
      const back = compareFindings(now, before);
      expect(there.new.length + there.changed.length + there.same).toBe(now.length);
      expect(there.cleared.length + there.changed.length + there.same).toBe(before.length);
      const ids = (list: readonly { id: string }[]) => list.map(({ id }) => id).sort();
      expect(ids(back.cleared)).toEqual(ids(there.new));
      expect(ids(back.new)).toEqual(ids(there.cleared));
      expect(compareFindings(now, now)).toEqual({ new: [], cleared: [], changed: [], same: now.length });
    }),
  );
});
