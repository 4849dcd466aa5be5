/** One sitting of a pull test: a look at the site, then pull after pull, each on the disk before the next. */
import { randomUUID } from 'node:crypto';
import { userInfo } from 'node:os';
import { createInterface } from 'node:readline';
import { type CommandQueue, commandQueue } from '../drill/commands.js';
import {
  type DrillStep,
  isBlind,
  isDone,
  keptRecords,
  type Pull,
  planDrill,
  pullsOf,
  sightOf,
  summariseDrill,
} from '../drill/index.js';
import { runDrill } from '../drill/pull-test.js';
import { startSampler } from '../drill/sampler.js';
import { watchesFor } from '../drill/watches.js';
import type { Matrix } from '../matrix/matrix.js';
import type { Plan } from '../plan/model.js';
import { evidenceOf } from '../result/build.js';
import { realSleep } from '../run/pace.js';
import { realDeps } from '../run/real.js';
import { rejudge } from '../run/rejudge.js';
import { runCheck } from '../run/run.js';
import type { DrillRecord } from '../sighting/types.js';
import { cleanText } from '../text/clean.js';
import { count } from '../text/sentence.js';
import { type CliDeps, type CommonOptions, EXIT } from './common.js';
import { leftOutText, unwatchedText } from './drill-list.js';
import { eventLine, eventText } from './drill-text.js';
import type { EarlierRun } from './earlier-run.js';
import { finishRun, writeRun } from './finish-run.js';
import type { PaceOptions } from './pace-option.js';
import { progressView } from './progress.js';
import { VERSION } from './version.js';

export interface SessionOptions extends CommonOptions, PaceOptions {
  readonly by?: string;
  readonly hold: number;
  readonly wait?: number;
  readonly script?: boolean;
  readonly unwatched?: boolean;
}

interface Session {
  readonly plan: Plan;
  /** Groups to test. */
  readonly names: ReadonlySet<string>;
  readonly folder: string;
  /** The run that goes on. */
  readonly earlier: EarlierRun | undefined;
}

export async function pullSession(session: Session, options: SessionOptions, deps: CliDeps): Promise<number> {
  const { names, folder, earlier } = session;
  const world = realDeps(deps);
  const before = await look(session, options, world, deps);
  if (!before.run.complete) return finishRun(before, folder, options, deps);
  const groups = before.groups.filter(({ name }) => names.has(name));
  const steps = planDrill(groups);
  if (steps.length === 0) {
    deps.stderr.write('Nothing to pull: no chosen group works now. Fix what the matrix shows first.\n');
    return finishRun(before, folder, options, deps);
  }
  const old = earlier?.drills ?? [];
  const left = steps.filter((step) => !isDone(step, old));
  const sight = sightOf({ ...before, groups });
  const watched = new Set(sight.questions.map(({ endpoint }) => endpoint.id));
  const blind =
    options.unwatched === true ? [] : pullsOf(left).filter((pull) => isBlind(pull, groups, watched));
  const todo = left.filter((step) => !blind.some((pull) => pull.steps.includes(step)));
  deps.stderr.write(
    `${summariseDrill(steps)}${left.length < steps.length ? `; ${count(steps.length - left.length, 'step')} of ${steps.length} done before` : ''}\n${unwatchedText(sight.unwatched)}${leftOutText(blind)}`,
  );
  const out = options.script === true && options.json !== true ? deps.stdout : deps.stderr;
  if (options.script === true)
    out.document(
      `${JSON.stringify({ event: 'watch', watched: [...watched], unwatched: sight.unwatched, leftOut: blind.map(({ pull }) => pull) })}\n`,
    );

  const by = cleanText(options.by?.trim() || userName());
  const skipped = blind.flatMap((pull) => leftOut(pull, by, steps.length, world.clock.date()));
  const kept = [...keptRecords(old, left), ...skipped];
  const [first, ...others] = evidenceOf(before);
  const withDrills = (drills: readonly DrillRecord[]): Matrix =>
    rejudge(before, first === undefined ? [] : [{ ...first, drills: [...kept, ...drills] }, ...others]);
  const quietly = options.script === true && options.json !== true ? { ...options, silent: true } : options;
  if (todo.length === 0) {
    deps.stderr.write(
      blind.length === 0
        ? 'Nothing is left to pull: the pull test was carried through.\n'
        : 'Nothing is left that could be watched from here.\n',
    );
    return finishRun(withDrills([]), folder, quietly, deps);
  }
  const commands = commandQueue();
  const stopReading = readCommands(commands, deps);
  const sampler = startSampler(
    watchesFor(sight.questions, world.probes, options.pace),
    world.clock,
    realSleep,
  );
  const save = savingTo(folder, withDrills);
  try {
    const { records, aborted } = await runDrill(
      {
        ...{ steps: todo, ofSteps: steps.length, groups, by, holdMs: options.hold * 1000 },
        waitMs: options.wait === undefined ? undefined : options.wait * 1000,
      },
      {
        ...{ sampler, watched, commands, clock: world.clock, sleep: realSleep },
        say: (event) => {
          if (event.event === 'measured') save.one(event.record);
          if (options.script === true) out.document(eventLine(event));
          else out.write(eventText(event));
        },
      },
      deps.signal,
    );
    if (!(await save.ended())) deps.stderr.write('note: a pull test could not be saved before the next.\n');
    const status = await finishRun(withDrills(records), folder, quietly, deps);
    if (deps.signal.aborted) return EXIT.interrupted;
    return aborted ? EXIT.incomplete : status;
  } finally {
    stopReading();
    await sampler.stop();
  }
}

/** What answers now; with what the run that goes on has of eyes, and the survey it was held against. */
async function look(
  { plan, earlier }: Session,
  options: SessionOptions,
  world: ReturnType<typeof realDeps>,
  deps: CliDeps,
): Promise<Matrix> {
  const view = progressView(deps.stderr, () => performance.now(), options.quiet === true);
  const matrix = await runCheck(
    {
      ...{ plan, stage: 'configured', vantageName: options.vantage, version: VERSION, pace: options.pace },
      runId: earlier?.runId ?? randomUUID(),
      ...(earlier === undefined
        ? {}
        : {
            carried: { attestations: earlier.attestations, drills: earlier.drills },
            survey: earlier.survey,
          }),
    },
    world,
    deps.signal,
    view.show,
  );
  view.end();
  return matrix;
}

/** Said in the handover, too: it was not forgotten, and another place can see it. */
function leftOut({ steps }: Pull, by: string, ofSteps: number, now: Date): DrillRecord[] {
  const at = now.toISOString();
  return steps.map(
    ({ group, pull }: DrillStep): DrillRecord => ({
      ...{ group, pulled: pull, outcome: 'skipped', why: 'not-watched', ofSteps, by },
      ...{ startedAt: at, finishedAt: at, resolutionMs: 0, gaps: [] },
    }),
  );
}

/** A pull costs people minutes: each is on the disk before the next. */
function savingTo(
  folder: string,
  withDrills: (drills: readonly DrillRecord[]) => Matrix,
): { one(record: DrillRecord): void; ended(): Promise<boolean> } {
  const done: DrillRecord[] = [];
  let saving = Promise.resolve();
  let unsaved = false;
  return {
    one(record) {
      done.push(record);
      const result = withDrills([...done]);
      saving = saving
        .then(() => writeRun(result, folder))
        .then(
          () => {},
          () => {
            unsaved = true;
          },
        );
    },
    async ended() {
      await saving;
      return !unsaved;
    },
  };
}

/** Lines of standard input become commands; gives the function that stops reading. */
function readCommands(commands: CommandQueue, deps: CliDeps): () => void {
  const input = deps.stdin ?? process.stdin;
  const lines = createInterface({ input, terminal: false });
  lines.on('line', (line) => {
    if (commands.line(line) === 'unknown') deps.stderr.write('Say next (Enter), skip, repeat or abort.\n');
  });
  lines.on('close', () => commands.end());
  return () => {
    lines.close();
    input.pause();
  };
}

function userName(): string {
  try {
    return userInfo().username;
  } catch {
    return 'not named';
  }
}
