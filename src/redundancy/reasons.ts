/** Why a group got its verdict, in sentences. */
import type { PathResult } from '../matrix/matrix.js';
import type { Plan } from '../plan/model.js';
import { count, list } from '../text/sentence.js';
import type { GroupPaths } from './paths.js';
import { describeThing } from './things.js';
import type { GroupJudgement } from './verdict.js';

/** What stands beside the amounts of paths, which every screen tells anyway (`result/group-words.ts`). */
export function stateReasons(
  planned: GroupPaths,
  paths: readonly PathResult[],
  found: GroupJudgement,
  planAlone: boolean,
): string[] {
  const { need } = planned.group;
  const reasons: string[] = [];
  if (planned.tooMany !== undefined)
    return [`It would have ${planned.tooMany} paths, more than are judged: split it into smaller groups.`];
  if (planned.why !== undefined) reasons.push(`No path is planned: ${planned.why}.`);
  if (found.noSpare)
    reasons.push(
      found.verdict === 'at-risk' ? 'No path may fail: there is none to spare.' : 'No path to spare.',
    );
  if (!planAlone && found.verdict === 'unproven' && amountOf(paths, 'live') >= need)
    reasons.push('It works; whether it survives a failure is not proven.');
  if (found.unlessUnproven.length > 0) {
    const things = list(found.unlessUnproven.map(describeThing));
    reasons.push(
      `Of the paths proven so far all that are needed run through ${things}; the unproven ones would avoid it.`,
    );
  }
  return reasons;
}

function amountOf(paths: readonly PathResult[], state: PathResult['state']): number {
  return paths.filter((path) => path.state === state).length;
}

/** Of pairs of a host port and an array port: how many were asked over the host's own port, the way that the host will take. */
export function pairReasons({ endpoints }: Pick<Plan, 'endpoints'>, paths: readonly PathResult[]): string[] {
  const addressed = new Set(endpoints.flatMap(({ id, address }) => (address === undefined ? [] : [id])));
  const pairs = paths.filter(
    ({ endpoints: ends }) => ends.length > 1 && ends.every((id) => addressed.has(id)),
  );
  const asked = pairs.filter(({ over }) => over !== undefined);
  if (pairs.length === 0 || asked.length === pairs.length) return [];
  return [
    asked.length === 0
      ? "No pair was asked over the host's own port: that both ends answer is all that is known (check --from the host asks)."
      : `${asked.length} of ${count(pairs.length, 'pair')} were asked over the host's own port; of the others it is known that both ends answer.`,
  ];
}

/** What the plan means and what it leaves open. */
export function intentReasons(planned: GroupPaths, sharedNetworks: readonly string[]): string[] {
  const reasons = sharedNetworks.map(
    (name) =>
      `All paths share the network ${name}; the plan does not ask for separate networks, so it is not counted as a single point.`,
  );
  for (const kind of planned.promised) {
    const without = planned.paths.filter(
      (path) => !path.requires.flat().some((thing) => thing.kind === kind),
    );
    if (without.length > 0)
      reasons.push(
        `The plan asks for an independent ${kind}, as it does where a group says nothing else, and names none for ${list(without.map((path) => path.id))}: name it there, or write the group with what it needs (independent).`,
      );
  }
  if (planned.group.inferred)
    reasons.push(
      'This group is not in the plan: ports of the same name on several controllers suggest it (common practice).',
    );
  return reasons;
}
