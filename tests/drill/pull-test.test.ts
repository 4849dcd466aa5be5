import { describe, expect, test } from 'vitest';
import { commandQueue } from '../../src/drill/commands.js';
import { planDrill } from '../../src/drill/plan.js';
import { type DrillEvent, type DrillOutcome, runDrill } from '../../src/drill/pull-test.js';
import type { Sampler } from '../../src/drill/sampler.js';
import { assessGroups } from '../../src/redundancy/index.js';
import { anEndpoint, aPlan } from '../support/evidence.js';
import { fakeTime } from './fakes.js';

const A = 'vault-1/A/data0';
const B = 'vault-1/B/data0';
const plan = aPlan({
  endpoints: [A, B].map((id) => anEndpoint(id, { group: 'vault-1 data', network: 'data' })),
});
const { groups } = assessGroups(plan, new Map([A, B].map((id) => [id, { state: 'live' as const }])));
/** Pull the cable at A, then the one at B. */
const steps = planDrill(groups).filter(({ pull }) => pull.kind === 'cable');

interface Script {
  /** Endpoint, from and to in ms: away between the two. */
  readonly away?: readonly (readonly [string, number, number])[];
  /** Time in ms and the line that is typed then; `<end>` ends the pipe. */
  readonly say?: readonly (readonly [number, string])[];
  readonly waitMs?: number;
  readonly stopAtMs?: number;
  readonly steps?: typeof steps;
  readonly groups?: typeof groups;
  readonly watched?: readonly string[];
}

interface Played extends DrillOutcome {
  readonly events: readonly string[];
  readonly all: readonly DrillEvent[];
  readonly tookMs: number;
}

/** Samples every 100 ms, made from the script. */
async function play(script: Script): Promise<Played> {
  const time = fakeTime();
  const stop = new AbortController();
  const commands = commandQueue();
  let listener: Parameters<Sampler['onSample']>[0];
  const watched = script.watched ?? [A, B];
  const isUp = (endpoint: string, atMs: number): boolean =>
    !(script.away ?? []).some(([id, from, to]) => id === endpoint && atMs >= from && atMs < to);
  const LASTS_MS = 60_000;
  for (let atMs = 0; atMs < LASTS_MS; atMs += 100)
    time.at(atMs, () => {
      for (const endpoint of watched) listener?.({ atMs, endpoint, up: isUp(endpoint, atMs) });
    });
  for (const [atMs, line] of script.say ?? [])
    time.at(atMs, () => (line === '<end>' ? commands.end() : commands.line(line)));
  // A drill that nothing ends is stopped, and seen by its time.
  time.at(script.stopAtMs ?? LASTS_MS, () => stop.abort());
  const all: DrillEvent[] = [];
  const events: string[] = [];
  const outcome = await runDrill(
    {
      steps: script.steps ?? steps.slice(0, 1),
      ofSteps: (script.steps ?? steps.slice(0, 1)).length,
      groups: script.groups ?? groups,
      by: 'R. Hale',
      holdMs: 1000,
      waitMs: script.waitMs,
    },
    {
      sampler: {
        resolutionMs: 200,
        isUp: (endpoint) => isUp(endpoint, time.clock.now()),
        onSample: (next) => {
          listener = next;
        },
        stop: async () => {},
      },
      watched: new Set(watched),
      commands,
      clock: time.clock,
      sleep: time.sleep,
      say: (event) => {
        all.push(event);
        events.push('endpoint' in event ? `${event.event} ${event.endpoint}` : event.event);
      },
    },
    stop.signal,
  );
  return { ...outcome, events, all, tookMs: time.clock.now() };
}

describe('a step of the drill', () => {
  test('pull seen, held, restore asked for, return seen, recorded with its gap', async () => {
    const { records, aborted, events } = await play({ away: [[A, 2000, 5000]], say: [[6000, '']] });
    expect(events).toEqual(['pull', `gone ${A}`, 'restore', `back ${A}`, 'measured', 'ask']);
    expect(aborted).toBe(false);
    expect(records).toEqual([
      {
        group: 'vault-1 data',
        pulled: { kind: 'cable', name: A },
        outcome: 'survived',
        ofSteps: 1,
        by: 'R. Hale',
        startedAt: '2030-01-02T00:00:00.000Z',
        finishedAt: expect.stringMatching(/^2030-01-02T00:00:05/),
        resolutionMs: 200,
        gaps: [{ endpoint: A, gapMs: 3000, returned: true }],
      },
    ]);
  });

  test('the rest is watched for the whole hold: the other path going down in it is a lost group', async () => {
    const { records } = await play({
      away: [
        [A, 2000, 5000],
        [B, 2600, 2900],
      ],
      say: [[8000, '']],
    });
    expect(records[0]?.outcome).toBe('lost');
    expect(records[0]?.gaps).toHaveLength(2);
  });

  test('back before the hold is over: nothing more to wait for', async () => {
    const { records, tookMs } = await play({ away: [[A, 2000, 2500]], say: [[3300, '']] });
    expect(records[0]).toMatchObject({ outcome: 'survived', gaps: [{ gapMs: 500, returned: true }] });
    expect(tookMs).toBeLessThan(3500);
  });

  test('skip is recorded as skipped and goes straight to the next step', async () => {
    const { records, events } = await play({
      steps,
      say: [
        [500, 's'],
        [900, 'skip'],
      ],
    });
    expect(records.map(({ outcome }) => outcome)).toEqual(['skipped', 'skipped']);
    expect(events).toEqual(['pull', 'measured', 'pull', 'measured']);
  });

  test('repeat does the step again, and only the last time counts', async () => {
    const { records, events } = await play({
      away: [
        [A, 1000, 3000],
        [A, 6000, 6400],
      ],
      say: [
        [4000, 'r'],
        [9000, ''],
      ],
    });
    expect(events.filter((event) => event === 'pull')).toHaveLength(2);
    expect(records.map(({ gaps }) => gaps.map(({ gapMs }) => gapMs))).toEqual([[400]]);
  });

  test('abort, before the pull and after the measurement, ends the drill and keeps what was recorded', async () => {
    const early = await play({ steps, say: [[500, 'abort']] });
    expect(early).toMatchObject({ aborted: true, records: [{ outcome: 'aborted' }] });
    const late = await play({ steps, away: [[A, 1000, 3000]], say: [[4000, 'a']] });
    expect(late).toMatchObject({ aborted: true, records: [{ outcome: 'survived' }] });
  });

  test('an interrupt ends it at once, also during the hold', async () => {
    const { records, aborted, tookMs } = await play({ away: [[A, 1000, 9000]], stopAtMs: 1500 });
    expect(aborted).toBe(true);
    expect(records).toMatchObject([{ outcome: 'aborted', gaps: [{ endpoint: A, returned: false }] }]);
    expect(tookMs).toBeLessThanOrEqual(2100);
  });

  test('a pipe that has ended goes on by itself, step after step', async () => {
    const { records, aborted } = await play({
      steps,
      away: [
        [A, 1000, 3000],
        [B, 6000, 8000],
      ],
      say: [[10, '<end>']],
    });
    expect(aborted).toBe(false);
    expect(records.map(({ outcome, pulled }) => `${pulled.name} ${outcome}`)).toEqual([
      `${A} survived`,
      `${B} survived`,
    ]);
  });

  test('commands that come early wait for their turn', async () => {
    const { records } = await play({
      steps,
      say: [
        [0, 'skip'],
        [0, 'skip'],
        [0, '<end>'],
      ],
    });
    expect(records.map(({ outcome }) => outcome)).toEqual(['skipped', 'skipped']);
  });

  test('the person says that it is done, and nothing went away: not noticed', async () => {
    const { records } = await play({
      say: [
        [500, ''],
        [600, ''],
        [3000, ''],
      ],
    });
    expect(records).toMatchObject([{ outcome: 'not-noticed', gaps: [] }]);
  });

  test('the wait has its limit, for the pull and for the return', async () => {
    const never = await play({ waitMs: 4000, say: [[10, '<end>']] });
    expect(never.records).toMatchObject([{ outcome: 'not-noticed' }]);
    expect(never.tookMs).toBeGreaterThanOrEqual(4000);
    expect(never.tookMs).toBeLessThan(10_000);
    const gone = await play({ waitMs: 4000, away: [[A, 1000, 99_000]], say: [[10, '<end>']] });
    expect(gone.records).toMatchObject([{ outcome: 'survived', gaps: [{ endpoint: A, returned: false }] }]);
    expect(gone.tookMs).toBeLessThan(8000);
  });

  test('what is away already is said, and is no pull until it has come back', async () => {
    const { records, all, events } = await play({
      away: [
        [A, 0, 2000],
        [A, 4000, 6000],
      ],
      say: [[9000, '']],
    });
    expect(all[0]).toMatchObject({ event: 'pull', away: [A] });
    expect(events).toEqual(['pull', `gone ${A}`, 'restore', `back ${A}`, 'measured', 'ask']);
    expect(records[0]?.gaps).toEqual([{ endpoint: A, gapMs: 2000, returned: true }]);
  });

  test('what cannot be watched is said, and then the person has the word', async () => {
    const { all, records } = await play({
      watched: [B],
      say: [
        [500, ''],
        [2000, ''],
        [2500, ''],
      ],
    });
    expect(all[0]).toMatchObject({ event: 'pull', unwatched: [A] });
    // Nobody could see it go, so no label is blamed.
    expect(records).toMatchObject([{ outcome: 'unproven' }]);
  });

  test('what goes on but cannot be watched is no proof that the group survived', async () => {
    const { records } = await play({ watched: [A], away: [[A, 1000, 3000]], say: [[6000, '']] });
    expect(records).toMatchObject([{ outcome: 'unproven', gaps: [{ endpoint: A, returned: true }] }]);
  });

  test('one pull is a record for each group that runs through the thing, asked for once', async () => {
    const again = groups.map((group) => ({ ...group, name: 'vault-1 again' }));
    const both = [...groups, ...again];
    const { records, events } = await play({
      groups: both,
      steps: planDrill(both).filter(({ pull }) => pull.kind === 'cable' && pull.name === A),
      away: [[A, 1000, 3000]],
      say: [[6000, '']],
    });
    expect(events).toEqual(['pull', `gone ${A}`, 'restore', `back ${A}`, 'measured', 'measured', 'ask']);
    expect(records.map(({ group, outcome, ofSteps }) => `${group} ${outcome} ${ofSteps}`)).toEqual([
      'vault-1 data survived 2',
      'vault-1 again survived 2',
    ]);
  });
});
