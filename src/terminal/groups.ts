/** Redundancy as terminal text, worst first, in the words of the page. */
import type { GroupResult, GroupVerdict } from '../matrix/matrix.js';
import { pathsWords, singlePointWords, whyUnproven } from '../result/group-words.js';
import { cleanText } from '../text/clean.js';
import { GROUP_MARKS } from '../text/marks.js';
import { availabilityWords } from '../text/percent.js';
import { list } from '../text/sentence.js';
import { ink, inkOf, signOf, type TextStyle } from './style.js';
import { wrap } from './wrap.js';

const WORST: readonly GroupVerdict[] = ['lost', 'at-risk', 'unproven', 'redundant'];
const NAMES_SHOWN = 12;

export interface GroupsOptions extends TextStyle {
  /** As the plan alone would have it. */
  readonly asPlanned?: boolean;
  /** One line a verdict instead of one a group. */
  readonly brief?: boolean;
  /** Number of the job that a group waits for. */
  readonly jobOf?: ReadonlyMap<string, readonly number[]>;
}

/** One line a group, with what would end it; groups that are redundant and say nothing more stand in one line. */
export function renderGroups(groups: readonly GroupResult[], options: GroupsOptions): string {
  if (groups.length === 0) return '';
  const { asPlanned = false, brief = false } = options;
  const verdictOf = (group: GroupResult): GroupVerdict =>
    asPlanned ? group.asPlanned.verdict : group.verdict;
  const lines = WORST.flatMap((verdict) => {
    const own = groups.filter((group) => verdictOf(group) === verdict);
    const plain = own.filter(
      ({ availability }) => brief || (verdict === 'redundant' && availability === undefined),
    );
    const names = list(
      plain.map(({ name }) => cleanText(name, 80)),
      NAMES_SHOWN,
    );
    return [
      ...own
        .filter((group) => !plain.includes(group))
        .map((group) => line(verdict, words(group, options), options)),
      ...(plain.length === 0 ? [] : [line(verdict, names, options)]),
    ];
  });
  return `${ink(options, asPlanned ? 'Redundancy as planned' : 'Redundancy', 'bold')}\n${lines.join('')}`;
}

function line(verdict: GroupVerdict, text: string, style: TextStyle): string {
  const mark = GROUP_MARKS[verdict];
  const sign = `${signOf(style, mark)} ${mark.word}`.padEnd(13);
  return wrap(style, text, `  ${ink(style, sign, ...inkOf(mark.tone))}`);
}

function words(group: GroupResult, { asPlanned = false, jobOf }: GroupsOptions): string {
  const points = singlePointWords(asPlanned ? group.asPlanned.singlePoints : group.singlePoints);
  const numbers = jobOf?.get(group.name) ?? [];
  const why = whyUnproven(group, asPlanned).map((reason) => cleanText(reason, 300));
  const parts = [
    `${cleanText(group.name, 80)}: ${asPlanned ? `${group.planned.length} planned, ${group.need} needed` : pathsWords(group)}`,
    points === '' ? '' : `ends with ${points}`,
    group.availability === undefined ? '' : `availability ${availabilityWords(group.availability)}`,
    numbers.length === 0 ? '' : `see ${list(numbers.map(String))}`,
  ].filter((part) => part !== '');
  return why.length === 0 ? parts.join('; ') : `${parts.join('; ')}. ${why.join(' ')}`;
}
