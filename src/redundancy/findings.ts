/** Assessed groups -> findings: what the plan alone shows, and what was found on site. */
import { type Finding, finding } from '../findings/index.js';
import type { Thing } from '../matrix/matrix.js';
import type { Plan } from '../plan/model.js';
import { PATHS_LIMIT } from './ceiling.js';
import type { AssessedGroup, EndpointLiveness } from './group.js';
import { slowest } from './paths.js';
import { describeThing, sameThing } from './things.js';

/** For `review`: everything that no cabling can mend. */
export function planFindings({ planned, asPlanned }: AssessedGroup): Finding[] {
  const { group, paths, promised, why, tooMany } = planned;
  if (tooMany !== undefined)
    return [
      finding('too-many-paths', group.name, { group: group.name, paths: tooMany, limit: PATHS_LIMIT }, {}),
    ];
  const about = endpointsOf(paths);
  const severity = group.inferred ? { severity: 'note' as const } : {};
  const speeds = unequal(paths.map((path) => ({ path: path.id, mbps: path.speedMbps })));
  const uneven =
    speeds.length === 0
      ? []
      : [finding('paths-unequal', group.name, { group: group.name, measured: false, speeds }, { about })];
  const facts = { group: group.name, planned: paths.length, need: group.need };
  if (paths.length < group.need || paths.length === 0)
    return [finding('need-not-met-by-plan', group.name, { ...facts, why }, { about }), ...uneven];
  if (paths.length === group.need)
    return [
      finding(
        'group-single-path',
        group.name,
        { ...facts, paths: paths.map((path) => path.id) },
        { about, ...severity },
      ),
      ...uneven,
    ];
  const broken = asPlanned.singlePoints.filter((thing) => isPromised(thing, promised));
  if (broken.length === 0) return uneven;
  const shared = finding(
    'group-not-independent',
    group.name,
    {
      group: group.name,
      things: broken.map(describeThing),
      promised: promised.length > 0,
      inferred: group.inferred,
    },
    { about, ...severity },
  );
  return [shared, ...uneven];
}

/** For the judge: what the measured paths show. Findings of the plan alone are not repeated. */
export function siteFindings(
  plan: Plan,
  assessed: AssessedGroup,
  liveness: ReadonlyMap<string, EndpointLiveness>,
): Finding[] {
  return [
    ...missingPaths(plan, assessed, liveness),
    ...lostOrAtRisk(assessed),
    ...unequalOnSite(assessed, liveness),
  ];
}

/** One finding an endpoint, not one for each of the pairs that it is part of. */
function missingPaths(
  plan: Plan,
  { planned, result }: AssessedGroup,
  liveness: ReadonlyMap<string, EndpointLiveness>,
): Finding[] {
  const { group } = planned;
  // The array side of a `from`/`to` group is reported with the group `to`.
  const reportedElsewhere = new Set(
    group.from === undefined ? [] : (plan.groups.find((other) => other.name === group.to)?.members ?? []),
  );
  return endpointsOf(planned.paths).flatMap((id) => {
    const state = liveness.get(id);
    if (state?.state !== 'dead' || reportedElsewhere.has(id)) return [];
    const facts = {
      group: group.name,
      path: id,
      live: result.live.length,
      planned: planned.paths.length,
      need: group.need,
    };
    return [
      finding('path-missing', id, facts, {
        about: [id],
        evidence: state.why === undefined ? [] : [state.why],
      }),
    ];
  });
}

function lostOrAtRisk({ planned, asPlanned, found, result }: AssessedGroup): Finding[] {
  const { group, promised } = planned;
  const about = endpointsOf(planned.paths);
  if (found.verdict === 'lost') {
    // A plan without enough paths is `need-not-met-by-plan`, whatever was found.
    if (asPlanned.verdict === 'lost') return [];
    const facts = {
      group: group.name,
      live: result.live.length,
      planned: planned.paths.length,
      need: group.need,
    };
    return [finding('group-lost', group.name, facts, { about })];
  }
  if (found.verdict !== 'at-risk') return [];
  const wasPlanned = (thing: Thing) => asPlanned.singlePoints.some((other) => sameThing(other, thing));
  const old = found.singlePoints.filter(wasPlanned);
  const fresh = found.singlePoints.filter((thing) => !wasPlanned(thing));
  const make = (things: readonly Thing[], origin: 'plan' | 'site') => {
    const intended =
      origin === 'plan' && (group.inferred || !things.some((thing) => isPromised(thing, promised)));
    return finding(
      'single-point',
      group.name,
      {
        group: group.name,
        things: things.map(describeThing),
        origin,
        live: result.live.length,
        need: group.need,
      },
      {
        about,
        evidence: evidenceFor(things, result.paths),
        ...(intended ? { severity: 'note' as const } : {}),
      },
    );
  };
  const findings: Finding[] = [];
  if (fresh.length > 0) findings.push(make(fresh, 'site'));
  if (old.length > 0) findings.push(make(old, 'plan'));
  if (findings.length === 0) findings.push(make([], asPlanned.noSpare ? 'plan' : 'site'));
  return findings;
}

/** Which paths run through each thing, and whether that was measured or taken from the plan. */
function evidenceFor(things: readonly Thing[], paths: AssessedGroup['result']['paths']): string[] {
  return things.map((thing) => {
    const through = paths
      .filter((path) => path.state !== 'dead')
      .flatMap((path) => {
        const match = path.things.find((other) => sameThing(other, thing));
        return match === undefined ? [] : [`${path.id} (${match.source})`];
      });
    return `${describeThing(thing)}: ${through.slice(0, 16).join(', ')}${through.length > 16 ? `, ${through.length - 16} more` : ''}`;
  });
}

/** With nothing written under `independent`, everything that counts is promised: a group means redundancy. */
function isPromised(thing: Thing, promised: readonly string[]): boolean {
  return promised.length === 0 || promised.includes(thing.kind);
}

function unequalOnSite(
  { planned, result }: AssessedGroup,
  liveness: ReadonlyMap<string, EndpointLiveness>,
): Finding[] {
  const { group, paths } = planned;
  // Where the plan itself is unequal, the review has said so.
  if (unequal(paths.map((path) => ({ path: path.id, mbps: path.speedMbps }))).length > 0) return [];
  const measured = paths
    .filter((path) => result.live.includes(path.id))
    .map((path) => ({
      path: path.id,
      mbps: slowest(path.endpoints.map((id) => liveness.get(id)?.measuredSpeedMbps)),
    }));
  const speeds = unequal(measured);
  if (speeds.length === 0) return [];
  const about = speeds.flatMap(({ path }) => paths.find((other) => other.id === path)?.endpoints ?? []);
  return [finding('paths-unequal', group.name, { group: group.name, measured: true, speeds }, { about })];
}

/** Those with a known speed, slowest first; empty where all are equal. */
function unequal(
  speeds: readonly { readonly path: string; readonly mbps: number | undefined }[],
): { readonly path: string; readonly mbps: number }[] {
  const known = speeds.flatMap(({ path, mbps }) => (mbps === undefined ? [] : [{ path, mbps }]));
  return new Set(known.map(({ mbps }) => mbps)).size < 2 ? [] : known.sort((a, b) => a.mbps - b.mbps);
}

function endpointsOf(paths: readonly { readonly endpoints: readonly string[] }[]): string[] {
  return [...new Set(paths.flatMap((path) => path.endpoints))];
}
