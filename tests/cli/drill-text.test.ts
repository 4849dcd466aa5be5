import { describe, expect, test } from 'vitest';
import { eventLine, eventText } from '../../src/cli/drill-text.js';
import { type DrillStep, pullsOf } from '../../src/drill/index.js';
import type { DrillEvent } from '../../src/drill/pull-test.js';
import type { DrillRecord } from '../../src/sighting/types.js';
import { T0, T1 } from '../support/evidence.js';

const A = 'vault-1/A/data0';
const B = 'vault-1/B/data0';
const step: DrillStep = {
  group: 'vault-1 data',
  pull: { kind: 'cable', name: A },
  instruction: `Pull the network cable at ${A}.`,
  restore: `Put the cable at ${A} back.`,
  affected: [A],
  survivors: [B],
  expect: 'survives',
  caution: 'Ask before you do it.',
};
const record: DrillRecord = {
  group: 'vault-1 data',
  pulled: step.pull,
  outcome: 'survived',
  by: 'R. Hale',
  startedAt: T0,
  finishedAt: T1,
  resolutionMs: 200,
  gaps: [
    { endpoint: A, gapMs: 2345, returned: true },
    { endpoint: B, gapMs: 900, returned: false },
  ],
};
const [one] = pullsOf([step]);
if (one === undefined) throw new Error('no pull');
const pull: DrillEvent = { event: 'pull', pull: one, number: 2, of: 7, unwatched: [], away: [] };

describe('for a person', () => {
  test('what to pull, what to mind, what should go and what should stay, what can be said', () => {
    expect(eventText(pull)).toBe(
      [
        '',
        `Step 2 of 7, vault-1 data: Pull the network cable at ${A}.`,
        '  Mind: Ask before you do it.',
        `  These should stop answering: ${A}. These should go on answering: ${B}.`,
        '  Enter = done here, s = skip, r = repeat, a = abort',
        '',
      ].join('\n'),
    );
  });

  test('what cannot be watched and what is away already is said before the pull', () => {
    const text = eventText({ ...pull, unwatched: [A], away: [B] });
    expect(text).toContain(`Cannot be watched from here: ${A}.`);
    expect(text).toContain(`Does not answer now: ${B}.`);
  });

  test('the gaps in seconds, what did not come back, and how well the figures are known', () => {
    expect(eventText({ event: 'measured', record })).toBe(
      `  vault-1 data: SURVIVED: the group went on working\n    ${A}: gap 2.3 s\n    ${B}: away for 0.9 s and not back\n    (known to 0.2 s)\n`,
    );
  });

  test.each<[DrillRecord['outcome'], RegExp]>([
    ['lost', /LOST/],
    ['not-noticed', /was it the right thing\?/],
    ['unproven', /too little could be watched/],
  ])('%s', (outcome, words) => {
    expect(eventText({ event: 'measured', record: { ...record, outcome } })).toMatch(words);
  });

  test.each<DrillRecord['outcome']>(['skipped', 'aborted'])(
    '%s: nothing was measured, so no accuracy either',
    (outcome) => {
      expect(eventText({ event: 'measured', record: { ...record, outcome, gaps: [] } })).not.toContain(
        'known to',
      );
    },
  );
});

test('for a pipe each event is one JSON object on one line', () => {
  const events: DrillEvent[] = [
    pull,
    { event: 'gone', endpoint: A },
    { event: 'restore', pull: one },
    { event: 'back', endpoint: A },
    { event: 'measured', record },
    { event: 'ask', pull: one },
  ];
  const lines = events.map(eventLine);
  for (const line of lines) expect(line).toMatch(/^\{.*\}\n$/);
  const said: unknown[] = lines.map((line) => JSON.parse(line));
  expect(said[0]).toEqual({
    event: 'pull',
    group: 'vault-1 data',
    groups: ['vault-1 data'],
    kind: 'cable',
    name: A,
    number: 2,
    of: 7,
    instruction: step.instruction,
    caution: step.caution,
    affected: [A],
    survivors: [B],
    expect: 'survives',
    unwatched: [],
    away: [],
  });
  expect(said[2]).toMatchObject({ event: 'restore', instruction: step.restore });
  expect(said[4]).toEqual({ event: 'measured', record });
});
