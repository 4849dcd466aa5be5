/** (older result, newer result) -> what changed. Pure: the results alone, no clock and no files. */
import type { EndpointResult, GroupResult, Matrix, Thing } from '../matrix/matrix.js';
import { naturalOrder } from '../text/sentence.js';
import { cautionsOf } from './cautions.js';
import { factChanges } from './facts.js';
import { compareFindings, isWorse } from './findings.js';
import type {
  ComparedRun,
  Comparison,
  DefaultChange,
  EndpointChange,
  EndpointPresence,
  GroupChange,
} from './types.js';

/** `version`: of the program that compares. */
export function compareRuns(before: Matrix, now: Matrix, version: string): Comparison {
  const endpoints = matched(before.endpoints, now.endpoints, ({ id }) => id);
  const changed = endpoints.both.flatMap(([was, is]) => endpointChange(was, is));
  const groups = matched(before.groups, now.groups, ({ name }) => name);
  const groupsChanged = groups.both.flatMap(([was, is]) => groupChange(was, is));
  const findings = compareFindings(before.findings, now.findings, before.run.version === now.run.version);
  return {
    format: 'matchmark.compare/1',
    version,
    old: runOf(before),
    new: runOf(now),
    cautions: cautionsOf(before, now),
    worse: isWorse(findings) || [...changed, ...groupsChanged].some(({ worse }) => worse),
    findings,
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
    defaults: matched(before.defaults, now.defaults, ({ address }) => address).both.flatMap(
      ([was, is]): DefaultChange[] =>
        was.outcome === is.outcome ? [] : [{ address: is.address, before: was.outcome, now: is.outcome }],
    ),
  };
}

function endpointChange(before: EndpointResult, now: EndpointResult): EndpointChange[] {
  const facts = factChanges(before, now);
  if (before.verdict === now.verdict && facts.length === 0) return [];
  return [
    {
      id: now.id,
      before: before.verdict,
      now: now.verdict,
      worse: before.verdict === 'matches' && now.verdict !== 'matches',
      facts,
      reasons: before.verdict === now.verdict ? [] : now.reasons,
    },
  ];
}

function groupChange(before: GroupResult, now: GroupResult): GroupChange[] {
  const fresh = without(now.singlePoints, before.singlePoints);
  const gone = without(before.singlePoints, now.singlePoints);
  if (before.verdict === now.verdict && fresh.length + gone.length === 0) return [];
  return [
    {
      name: now.name,
      before: before.verdict,
      now: now.verdict,
      worse:
        (before.verdict === 'redundant' && now.verdict !== 'redundant') ||
        (before.verdict === 'at-risk' && now.verdict === 'lost'),
      newSinglePoints: fresh,
      goneSinglePoints: gone,
    },
  ];
}

function without(things: readonly Thing[], others: readonly Thing[]): Thing[] {
  return things
    .filter(({ kind, name }) => !others.some((other) => other.kind === kind && other.name === name))
    .map(({ kind, name }) => ({ kind, name }));
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

interface Matched<Item> {
  readonly both: readonly (readonly [Item, Item])[];
  readonly added: readonly Item[];
  readonly gone: readonly Item[];
}

/** By name, in the order that a person would sort names. */
function matched<Item>(
  before: readonly Item[],
  now: readonly Item[],
  nameOf: (item: Item) => string,
): Matched<Item> {
  const old = new Map(before.map((item) => [nameOf(item), item]));
  const fresh = new Map(now.map((item) => [nameOf(item), item]));
  const sorted = (items: readonly Item[]) => [...items].sort((a, b) => naturalOrder(nameOf(a), nameOf(b)));
  return {
    both: sorted([...fresh.values()]).flatMap((item) => {
      const was = old.get(nameOf(item));
      return was === undefined ? [] : [[was, item] as const];
    }),
    added: sorted([...fresh.values()].filter((item) => !old.has(nameOf(item)))),
    gone: sorted([...old.values()].filter((item) => !fresh.has(nameOf(item)))),
  };
}
