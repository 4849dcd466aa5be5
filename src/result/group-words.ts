/** A redundancy group in words: the same on the page and in the terminal. */
import type { GroupResult, Thing } from '../matrix/matrix.js';
import { describeThing } from '../redundancy/things.js';
import { GROUP_MARKS } from '../text/marks.js';
import { count, inWords, list } from '../text/sentence.js';

const POINTS_SHOWN = 6;
const KINDS_SHOWN = 6;

/** `1 of 2 paths works, 1 needed`. */
export function pathsWords({ paths, planned, live, need }: GroupResult): string {
  const all = Math.max(paths.length, planned.length);
  const unproven = paths.filter(({ state }) => state === 'unproven').length;
  const open = unproven === 0 ? '' : `, ${unproven} unproven`;
  return `${live.length} of ${count(all, 'path')} ${live.length === 1 || all === 1 ? 'works' : 'work'}${open}, ${need} needed`;
}

/** What would end access alone: `controller vault-1/A, switch loft-switch-1`. Empty where nothing would. */
export function singlePointWords(points: readonly Thing[], limit = POINTS_SHOWN): string {
  return points.length === 0 ? '' : list(points.map(describeThing), limit, 'or');
}

/** Which two things would have to fail at once: `two controllers; a controller and a switch`. Kinds, not every pair. */
export function doubleFailureWords(pairs: GroupResult['pairs']): string {
  const kinds = new Set(
    pairs.map(([a, b]) => {
      const [first = '', second = ''] = [a.kind, b.kind].map((kind) => inWords(kind)).sort();
      return first === second ? `two ${plural(first)}` : `${article(first)} and ${article(second)}`;
    }),
  );
  return kinds.size === 0 ? '' : list([...kinds], KINDS_SHOWN, 'or');
}

/** How sure a verdict is: whether each thing that decided was measured. */
export function basisWords({ basis }: Pick<GroupResult, 'basis'>): string {
  return basis === 'measured' ? 'measured' : 'partly from the plan';
}

/** Where all paths work, or nothing was measured yet (`planAlone`), their amounts do not say why it is unproven: the reasons do. */
export function whyUnproven(
  { verdict, asPlanned, paths, reasons }: GroupResult,
  planAlone = false,
): readonly string[] {
  const own = planAlone ? asPlanned.verdict : verdict;
  return own === 'unproven' && (planAlone || paths.every(({ state }) => state === 'live')) ? reasons : [];
}

/** How the site stands beside the plan. */
export function plannedWords({ asPlanned: plan, verdict, singlePoints }: GroupResult): string {
  const word = GROUP_MARKS[plan.verdict].word;
  const points =
    plan.singlePoints.length === 0
      ? ''
      : `, because the loss of ${singlePointWords(plan.singlePoints)} would end it`;
  if (plan.verdict === verdict && plan.singlePoints.length === singlePoints.length)
    return `As planned it is ${word} too${points}.`;
  if (plan.verdict === 'redundant' && verdict !== 'unproven')
    return 'As planned it would be redundant. What was found on the site is not.';
  return `As planned it would be ${word}${points}.`;
}

export function isAsPlanned({ verdict, asPlanned }: GroupResult): boolean {
  return verdict === 'redundant' && asPlanned.verdict === 'redundant';
}

function plural(kind: string): string {
  return kind.endsWith('ch') ? `${kind}es` : `${kind}s`;
}

function article(kind: string): string {
  return `${/^[aeiou]/.test(kind) ? 'an' : 'a'} ${kind}`;
}
