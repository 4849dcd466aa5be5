/** (older result, newer result) -> what changed. Pure: the results alone, no clock and no files. */
import type { EndpointResult, GroupResult, Matrix, ObservationResult, Thing } from '../matrix/matrix.js';
import { cableMoves } from './cables.js';
import { cautionsOf, hasFacts, looksAsFar } from './cautions.js';
import { exchanges } from './exchanges.js';
import { factChanges, turnOf } from './fact-changes.js';
import { compareFindings, isWorse } from './findings.js';
import { matched } from './matched.js';
import { planChanges } from './plan-changes.js';
import { type EndpointPair, toldChanges } from './told.js';
import type {
  ComparedRun,
  Comparison,
  DefaultChange,
  EndpointChange,
  EndpointPresence,
  FactChange,
  GroupChange,
  ObservationChange,
  Turn,
} from './types.js';

/** `version`: of the program that compares. */
export function compareRuns(before: Matrix, now: Matrix, version: string): Comparison {
  const known = { old: hasFacts(before), new: hasFacts(now) };
  const asFar = looksAsFar(before, now);
  const endpoints = matched(before.endpoints, now.endpoints, ({ id }) => id);
  const pairs = endpoints.both.map(
    ([was, is]): EndpointPair => ({ before: was, now: is, facts: factChanges(was, is, known) }),
  );
  const changed = pairs.flatMap((pair) => endpointChange(pair, asFar));
  const groups = matched(before.groups, now.groups, ({ name }) => name);
  const groupsChanged = groups.both.flatMap(([was, is]) => groupChange(was, is, asFar));
  const observations = matched(before.observations, now.observations, ({ subject, item }) =>
    JSON.stringify([subject, item]),
  ).both.flatMap(([was, is]) => observationChange(was, is));
  const findings = compareFindings(before.findings, now.findings);
  const cautions = cautionsOf(before, now);
  const otherPlan = cautions.some(({ caution }) => caution === 'other-plan');
  const moving = movingIn(now);
  const standing = pairs.filter(({ now: { id } }) => !moving.has(id));
  const strangers = matched(before.strangers, now.strangers, ({ address, mac }) => `${address} ${mac}`);
  return {
    format: 'matchmark.compare/1',
    version,
    old: runOf(before),
    new: runOf(now),
    cautions,
    worse: isWorse(findings) || [...changed, ...groupsChanged, ...observations].some(({ worse }) => worse),
    findings,
    equipment: {
      exchanged: exchanges(before, now),
      identity: toldChanges(standing, 'identity'),
      software: toldChanges(standing, 'software'),
      links: toldChanges(standing, 'link'),
    },
    cables: cableMoves(pairs, moving),
    endpoints: {
      changed,
      new: endpoints.added.map(presence),
      gone: endpoints.gone.map(presence),
      same: endpoints.both.length - changed.length,
    },
    groups: {
      changed: groupsChanged,
      new: groups.added.map(({ name }) => name),
      gone: groups.gone.map(({ name }) => name),
    },
    observations,
    defaults: matched(before.defaults, now.defaults, ({ address }) => address).both.flatMap(
      ([was, is]): DefaultChange[] =>
        was.outcome === is.outcome ? [] : [{ address: is.address, before: was.outcome, now: is.outcome }],
    ),
    strangers: { new: strangers.added, gone: strangers.gone },
    plan: otherPlan
      ? pairs.flatMap((pair) => planChanges(pair.before, pair.now, known.old && known.new))
      : [],
  };
}

/** Not proven any more is worse only where the newer run could have proven it. */
function counts(turn: Turn | undefined, asFar: boolean): boolean {
  return turn === 'worse' || (turn === 'no-longer-proven' && asFar);
}

function endpointChange({ before, now, facts }: EndpointPair, asFar: boolean): EndpointChange[] {
  const turn = turnOf(before.verdict, now.verdict);
  if (turn === undefined && facts.length === 0) return [];
  return [
    {
      id: now.id,
      before: before.verdict,
      now: now.verdict,
      turn: turn ?? 'same',
      worse: counts(turn, asFar) || facts.some((fact: FactChange) => fact.turn === 'worse'),
      facts,
      reasons: turn === undefined ? [] : now.reasons,
    },
  ];
}

function groupChange(before: GroupResult, now: GroupResult, asFar: boolean): GroupChange[] {
  const fresh = without(now.singlePoints, before.singlePoints);
  const gone = without(before.singlePoints, now.singlePoints);
  if (before.verdict === now.verdict && fresh.length + gone.length === 0) return [];
  return [
    {
      name: now.name,
      before: before.verdict,
      now: now.verdict,
      worse:
        (before.verdict === 'redundant' && now.verdict === 'unproven' && asFar) ||
        (before.verdict === 'redundant' && (now.verdict === 'at-risk' || now.verdict === 'lost')) ||
        (before.verdict === 'at-risk' && now.verdict === 'lost'),
      newSinglePoints: fresh,
      goneSinglePoints: gone,
    },
  ];
}

function observationChange(before: ObservationResult, now: ObservationResult): ObservationChange[] {
  const { subject, item } = now;
  return before.verdict === now.verdict
    ? []
    : [{ subject, item, before: before.verdict, now: now.verdict, worse: now.verdict === 'differs' }];
}

function without(things: readonly Thing[], others: readonly Thing[]): Thing[] {
  return things
    .filter(({ kind, name }) => !others.some((other) => other.kind === kind && other.name === name))
    .map(({ kind, name }) => ({ kind, name }));
}

/** Endpoints whose address may move between devices: another one behind it is no change. */
function movingIn({ plan }: Matrix): ReadonlySet<string> {
  return new Set(plan.model.endpoints.filter(({ virtual }) => virtual).map(({ id }) => id));
}

function presence({ id, address, verdict }: EndpointResult): EndpointPresence {
  return { id, address, verdict };
}

function runOf({ run, plan, vantages }: Matrix): ComparedRun {
  return {
    id: run.id,
    site: plan.site,
    startedAt: run.startedAt,
    stage: run.stage,
    complete: run.complete,
    version: run.version,
    vantages: vantages.map(({ name }) => name),
    planFiles: plan.files.map(({ name, sha256 }) => ({ name, sha256 })),
  };
}
