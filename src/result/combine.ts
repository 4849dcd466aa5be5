/** Several runs of one plan -> the evidence of all of them, ready to be judged again as one. Pure. */
import { MatchmarkError } from '../errors.js';
import type { Matrix } from '../matrix/matrix.js';
import type { Survey } from '../matrix/survey.js';
import type { Evidence } from '../sighting/types.js';
import { cleanText } from '../text/clean.js';
import { list } from '../text/sentence.js';
import { evidenceOf } from './build.js';
import { planDifferences } from './plan-difference.js';

/** Of how many differences between two plans the refusal speaks. */
const DIFFERENCES_TOLD = 5;

export interface GivenRun {
  /** As the user named it, for messages. */
  readonly name: string;
  readonly matrix: Matrix;
}

export interface Combination {
  /** Plan, review and survey of the runs, under a head of its own; its verdicts are those of one run and have to be judged again. */
  readonly base: Matrix;
  readonly evidence: readonly Evidence[];
  /** What was decided on the way, as sentences. */
  readonly notes: readonly string[];
}

/**
 * The order of the runs plays no part. Throws MatchmarkError `usage` where they do not belong together: one run twice, another plan,
 * another stage.
 */
export function combineRuns(
  runs: readonly GivenRun[],
  head: { readonly id: string; readonly version: string },
): Combination {
  const [first] = runs;
  if (first === undefined || runs.length < 2)
    throw new MatchmarkError('usage', 'one run alone cannot be combined', {
      next: 'Name two runs or more, of one plan from different places.',
    });
  for (const other of runs.slice(1)) requireSamePlan(first, other);
  requireSameStage(runs);
  requireDifferentRuns(runs);
  const latest = [...runs].sort(byTime).at(-1) ?? first;
  const { evidence, notes } = named(runs.flatMap(({ matrix }) => evidenceOf(matrix)).sort(evidenceOrder));
  const surveys = surveysOf(runs);
  const { survey: _survey, ...rest } = latest.matrix;
  const starts = runs.map(({ matrix }) => matrix.run.startedAt).sort();
  const ends = runs.map(({ matrix }) => matrix.run.finishedAt).sort();
  const by = [...new Set([...runs].sort(byTime).flatMap(({ matrix }) => matrix.run.by ?? []))];
  return {
    base: {
      ...rest,
      run: {
        id: head.id,
        version: head.version,
        startedAt: starts[0] ?? '',
        finishedAt: ends.at(-1) ?? '',
        complete: runs.every(({ matrix }) => matrix.run.complete),
        stage: first.matrix.run.stage,
        ...(by.length === 0 ? {} : { by: list(by) }),
      },
      ...(surveys[0] === undefined ? {} : { survey: surveys[0] }),
    },
    evidence,
    notes: surveys.length < 2 ? notes : [...notes, surveyNote(surveys)],
  };
}

/** A plan is what its files hold; what they are called plays no part. */
function requireSamePlan(first: GivenRun, other: GivenRun): void {
  const digests = ({ matrix }: GivenRun) => matrix.plan.files.map(({ sha256 }) => sha256).sort();
  if (digests(first).join() === digests(other).join()) return;
  const known = new Map(first.matrix.plan.files.map(({ name, sha256 }) => [name, sha256]));
  const names = new Set([first, other].flatMap(({ matrix }) => matrix.plan.files.map(({ name }) => name)));
  const its = new Map(other.matrix.plan.files.map(({ name, sha256 }) => [name, sha256]));
  const different = [...names]
    .filter((name) => known.get(name) !== its.get(name))
    .map((name) => cleanText(name));
  const told = planDifferences(first.matrix.plan.model, other.matrix.plan.model);
  const [least, more] = [told.slice(0, DIFFERENCES_TOLD), told.length - DIFFERENCES_TOLD];
  const inWords = least.length === 0 ? '' : ` (${least.join('; ')}${more > 0 ? `; and ${more} more` : ''})`;
  throw new MatchmarkError(
    'usage',
    `${other.name} was made with another plan than ${first.name}: ${list(different)} ${different.length === 1 ? 'differs' : 'differ'}${inWords}`,
    { next: 'Run "matchmark check" with one plan from each place, then combine those runs.' },
  );
}

function requireSameStage(runs: readonly GivenRun[]): void {
  const powerOn = runs.filter(({ matrix }) => matrix.run.stage === 'power-on');
  const [first] = powerOn;
  if (first === undefined || powerOn.length === runs.length) return;
  const other = runs.find(({ matrix }) => matrix.run.stage !== 'power-on');
  throw new MatchmarkError(
    'usage',
    `${first.name} is of the stage power-on and ${other?.name} of the stage configured: what was seen before re-addressing says nothing of the site as it is now`,
    { next: 'Combine runs of one stage.' },
  );
}

/** An attested copy of a run, or a combination that holds it already, is that run again. */
function requireDifferentRuns(runs: readonly GivenRun[]): void {
  const seen = new Map<string, string>();
  for (const { name, matrix } of runs) {
    for (const key of new Set([`run ${matrix.run.id}`, ...matrix.evidence.map(lookKey)])) {
      const before = seen.get(key);
      if (before !== undefined)
        throw new MatchmarkError(
          'usage',
          `${name} and ${before} hold the same look at the site: a run cannot be combined with itself`,
          { next: 'Name each run once, and not beside a combination that it is part of.' },
        );
      seen.set(key, name);
    }
  }
}

/** One look, whatever the vantage is called: when it was, and on which ports. */
function lookKey({ startedAt, finishedAt, vantage }: Evidence): string {
  const ports = vantage.interfaces.map(({ name, mac, addresses }) => [name, mac, addresses]);
  return JSON.stringify([startedAt, finishedAt, ports]);
}

function byTime(a: GivenRun, b: GivenRun): number {
  return (
    compareText(a.matrix.run.startedAt, b.matrix.run.startedAt) ||
    compareText(a.matrix.run.id, b.matrix.run.id)
  );
}

function evidenceOrder(a: Evidence, b: Evidence): number {
  return (
    compareText(a.startedAt, b.startedAt) ||
    compareText(a.vantage.name, b.vantage.name) ||
    compareText(lookKey(a), lookKey(b))
  );
}

/** Loopback and link-local addresses: every machine has them. */
const SAYS_NOTHING = /^(127\.|::1\/|fe80:)/i;

/** One laptop that looked from two places has one name twice: later looks get a number, so that the columns can be told apart. */
function named(evidence: readonly Evidence[]): { evidence: Evidence[]; notes: string[] } {
  const taken = new Set(evidence.map(({ vantage }) => vantage.name));
  const used = new Set<string>();
  const notes: string[] = [];
  const renamed = evidence.map((one) => {
    const { name, interfaces } = one.vantage;
    if (!used.has(name)) {
      used.add(name);
      return one;
    }
    let number = 2;
    while (taken.has(`${name} (${number})`)) number += 1;
    const other = `${name} (${number})`;
    taken.add(other);
    const at = interfaces
      .flatMap(({ addresses }) => addresses)
      .filter((address) => !SAYS_NOTHING.test(address))
      .map((address) => cleanText(address));
    notes.push(
      `${cleanText(name)} is the vantage of two runs; the later one (${list(at, 4)}) is called "${cleanText(other)}" here. Next time, name it with check --vantage.`,
    );
    return { ...one, vantage: { ...one.vantage, name: other } };
  });
  return { evidence: renamed, notes };
}

/** The different surveys of the runs, latest first. */
function surveysOf(runs: readonly GivenRun[]): Survey[] {
  const different = new Map(
    runs.flatMap(({ matrix: { survey } }) =>
      survey === undefined ? [] : [[JSON.stringify(survey), survey] as const],
    ),
  );
  return [...different]
    .sort(([a, left], [b, right]) => compareText(right.takenAt, left.takenAt) || compareText(b, a))
    .map(([, survey]) => survey);
}

function surveyNote([latest, ...others]: readonly Survey[]): string {
  return `the runs were held against ${others.length + 1} different surveys; here they are held against that of ${latest?.takenAt}.`;
}

function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
