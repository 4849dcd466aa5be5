import { describe, expect, it } from 'vitest';
import type { Survey } from '../../src/matrix/survey.js';
import { diffSurvey, type LaterLook } from '../../src/survey/diff.js';
import { mac, T0 } from '../support/evidence.js';

const surveyed = (entries: Record<string, string[]>, silent: string[] = []): Survey => ({
  format: 'matchmark.survey/1',
  takenAt: T0,
  vantage: 'bench',
  site: 'Test Hall',
  complete: true,
  entries: Object.entries(entries).map(([address, macs]) => ({
    address,
    macs,
    kind: 'other',
    devices: [],
    identity: {},
    icmp: { outcome: 'not-run', cause: 'not-supported', reason: 'x' },
    tcp: [],
  })),
  asked: { planned: 0, defaults: 0, networks: [] },
  silent,
  unproven: [],
  findings: [],
});
const now = (looks: Record<string, string[] | 'silent'>): Map<string, LaterLook> =>
  new Map(
    Object.entries(looks).map(([address, macs]) => [
      address,
      macs === 'silent' ? { macs: [], answers: false } : { macs, answers: true },
    ]),
  );
const A = '192.0.2.9';
const B = '192.0.2.10';

describe('what changed since a survey', () => {
  it.each<[string, Survey, Map<string, LaterLook>, string[]]>([
    ['the same device', surveyed({ [A]: [mac(1)] }), now({ [A]: [mac(1)] }), [`same ${A}`]],
    ['silent now', surveyed({ [A]: [mac(1)] }), now({ [A]: 'silent' }), [`gone ${A}`]],
    ['not asked now', surveyed({ [A]: [mac(1)] }), now({}), []],
    ['another device', surveyed({ [A]: [mac(1)] }), now({ [A]: [mac(2)] }), [`moved ${A}`]],
    [
      'the device elsewhere',
      surveyed({ [A]: [mac(1)] }),
      now({ [A]: 'silent', [B]: [mac(1)] }),
      [`moved ${A} to ${B}`],
    ],
    ['asked and silent then', surveyed({}, [A]), now({ [A]: [mac(1)] }), [`new ${A}`]],
    ['not asked then', surveyed({}), now({ [A]: [mac(1)] }), []],
    ['known only across a router, answers', surveyed({ [A]: [] }), now({ [A]: [mac(1)] }), [`same ${A}`]],
    [
      'two addresses of one device stay',
      surveyed({ [A]: [mac(1)], [B]: [mac(1)] }),
      now({ [A]: [mac(1)], [B]: [mac(1)] }),
      [`same ${A}`, `same ${B}`],
    ],
  ])('%s', (_why, earlier, later, expected) => {
    const lines = diffSurvey(earlier, later).map(
      ({ kind, address, movedTo }) => `${kind} ${address}${movedTo === undefined ? '' : ` to ${movedTo}`}`,
    );
    expect(lines).toEqual(expected);
  });
});
