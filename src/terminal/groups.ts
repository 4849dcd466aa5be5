import type { GroupResult, GroupVerdict, Thing } from '../matrix/matrix.js';
import { describeThing } from '../redundancy/things.js';
import { cleanText } from '../text/clean.js';
import { GROUP_MARKS } from '../text/marks.js';
import { availabilityWords } from '../text/percent.js';
import { list } from '../text/sentence.js';
import { type Ink, ink, signOf, type TextStyle } from './style.js';
import { wrap } from './wrap.js';

const INKS: Readonly<Record<GroupVerdict, readonly Ink[]>> = {
  redundant: [],
  'at-risk': ['yellow'],
  lost: ['red'],
  unproven: ['dim'],
};
const WORST: readonly GroupVerdict[] = ['lost', 'at-risk', 'unproven', 'redundant'];

/** One line a group, worst first, with its single points, and its availability where the plan states figures. `asPlanned`: as the plan alone would have it. */
export function renderGroups(groups: readonly GroupResult[], style: TextStyle, asPlanned = false): string {
  if (groups.length === 0) return '';
  const verdictOf = (group: GroupResult): GroupVerdict =>
    asPlanned ? group.asPlanned.verdict : group.verdict;
  const sorted = [...groups].sort((a, b) => WORST.indexOf(verdictOf(a)) - WORST.indexOf(verdictOf(b)));
  const lines = sorted.map((group) => {
    const verdict = verdictOf(group);
    const mark = GROUP_MARKS[verdict];
    const words = `${signOf(style, mark)} ${mark.word}`.padEnd(13);
    const points = asPlanned ? group.asPlanned.singlePoints : group.singlePoints;
    const live = asPlanned
      ? `${group.planned.length} planned`
      : `${group.live.length} of ${group.planned.length} live`;
    const text = `${cleanText(group.name, 80)}: ${live}, needs ${group.need}${singles(points)}${available(group)}`;
    return wrap(style, text, `  ${ink(style, words, ...INKS[verdict])}`);
  });
  return `${ink(style, asPlanned ? 'Redundancy as planned' : 'Redundancy', 'bold')}\n${lines.join('')}`;
}

function singles(points: readonly Thing[]): string {
  if (points.length === 0) return '';
  return `; single point: ${list(points.map(describeThing))}`;
}

function available({ availability }: GroupResult): string {
  return availability === undefined ? '' : `; availability ${availabilityWords(availability)}`;
}
