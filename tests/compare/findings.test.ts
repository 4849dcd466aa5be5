import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { compareFindings, isWorse } from '../../src/compare/findings.js';
import { aFinding } from '../support/matrix.js';

const missing = (service: string, severity: 'fix' | 'note' = 'fix') =>
  aFinding('service-missing', severity, 'vault-1/A/mgmt', `vault-1/A/mgmt does not offer ${service}.`);

test('two findings of one code about one endpoint are two matters', () => {
  expect(compareFindings([missing('https')], [missing('ssh')], true)).toMatchObject({
    new: [missing('ssh')],
    cleared: [missing('https')],
    changed: [],
  });
  expect(compareFindings([missing('https')], [missing('https'), missing('https')], true).new).toHaveLength(1);
});

test('other numbers are the same matter, shown and not worse', () => {
  const live = (count: number) =>
    aFinding('group-lost', 'fix', 'vault-1 data', `${count} of 4 planned paths are there.`);
  const compared = compareFindings([live(1)], [live(0)], true);
  expect(compared).toEqual({ new: [], cleared: [], changed: [{ before: live(1), now: live(0) }] });
  expect(isWorse(compared)).toBe(false);
});

test.each([
  ['192.0.2.11', '192.0.2.12'],
  ['00:00:5e:00:53:01', '00:00:5e:00:53:02'],
  ['tcp/8443', 'tcp/8080'],
  ['10G', '1G'],
])('%s and %s are two matters: the digits belong to a name', (was, is) => {
  const said = (name: string) =>
    aFinding('wrong-device', 'fix', 'vault-1/A/mgmt', `It is ${name} that answers.`);
  expect(compareFindings([said(was)], [said(is)], true).new).toEqual([said(is)]);
});

test('a matter that became more severe is worse, one that became less is not', () => {
  const compared = (was: 'fix' | 'note', is: 'fix' | 'note') =>
    compareFindings([missing('https', was)], [missing('https', is)], true);
  expect(isWorse(compared('note', 'fix'))).toBe(true);
  expect(isWorse(compared('fix', 'note'))).toBe(false);
  expect(compared('fix', 'note').changed).toHaveLength(1);
});

describe('results of two versions of the program', () => {
  const reworded = { ...missing('https'), message: 'https is not there.' };

  test('one matter in other words is the same', () => {
    expect(compareFindings([missing('https')], [reworded], false)).toEqual({
      new: [],
      cleared: [],
      changed: [],
    });
    expect(compareFindings([missing('https')], [reworded], true).new).toEqual([reworded]);
  });

  test('an unknown code does no harm', () => {
    const odd = aFinding('of-a-later-version', 'fix', 'vault-1', 'Something.');
    expect(compareFindings([], [odd, missing('https')], false).new).toHaveLength(2);
  });
});

test('every finding stands in exactly one place, and the other way round new is cleared', () => {
  const finding = fc
    .record({
      code: fc.constantFrom('service-missing', 'no-echo'),
      severity: fc.constantFrom('stop', 'fix', 'note'),
      subject: fc.constantFrom('a', 'b'),
      message: fc.constantFrom('one 1', 'one 2', 'two'),
    })
    .map(({ code, severity, subject, message }) => aFinding(code, severity, subject, message));
  const findings = fc.array(finding, { maxLength: 8 });
  fc.assert(
    fc.property(findings, findings, fc.boolean(), (before, now, sameVersion) => {
      const there = compareFindings(before, now, sameVersion);
      const back = compareFindings(now, before, sameVersion);
      expect(now.length - there.new.length).toBe(before.length - there.cleared.length);
      const words = (list: readonly { subject: string; message: string; code: string }[]) =>
        list.map(({ code, subject, message }) => `${code} ${subject} ${message.replace(/\d+/, '#')}`).sort();
      expect(words(back.cleared)).toEqual(words(there.new));
      expect(words(back.new)).toEqual(words(there.cleared));
      expect(compareFindings(now, now, sameVersion)).toEqual({ new: [], cleared: [], changed: [] });
    }),
  );
});
