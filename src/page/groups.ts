/** Redundancy in full: groups that are as planned in a table, the others as pictures of their paths; then the pull tests. */
import type { GroupResult, GroupVerdict, Matrix } from '../matrix/matrix.js';
import {
  basisWords,
  doubleFailureWords,
  isAsPlanned,
  pathsWords,
  plannedWords,
  singlePointWords,
  whyUnproven,
} from '../result/group-words.js';
import { GROUP_MARKS, PATH_MARKS } from '../text/marks.js';
import { availabilityWords } from '../text/percent.js';
import { capital, count } from '../text/sentence.js';
import { items, prose, table, text } from './markup.js';
import { pathDrawing } from './path-drawing.js';
import type { Surroundings } from './path-layout.js';
import { jobLinks, type Places } from './places.js';

/** Pictures on the page; more groups than that are told in a table. */
const DRAWN = 10;
const WORST: readonly GroupVerdict[] = ['lost', 'at-risk', 'unproven', 'redundant'];

const LEGEND = `<p class="legend"><svg class="key" width="44" height="12" aria-hidden="true"><path class="line live" d="M2 6H42"/></svg> ${PATH_MARKS.live.word}
<svg class="key" width="44" height="12" aria-hidden="true"><path class="line dead" d="M2 6H42"/></svg> ${PATH_MARKS.dead.sign} ${PATH_MARKS.dead.word}
<svg class="key" width="44" height="12" aria-hidden="true"><path class="line unproven" d="M2 6H42"/></svg> ${PATH_MARKS.unproven.sign} ${PATH_MARKS.unproven.word}
<span class="ringed">double frame</span> single point: its loss alone would end the group</p>`;

export function groupsSection(matrix: Matrix, places: Places): string {
  if (matrix.groups.length === 0) return '<p>The plan names no redundancy group.</p>';
  const around: Surroundings = {
    endpoints: new Map(matrix.endpoints.map((endpoint) => [endpoint.id, endpoint])),
  };
  const good = matrix.groups.filter(isAsPlanned);
  const rest = matrix.groups
    .filter((group) => !isAsPlanned(group))
    .sort((a, b) => WORST.indexOf(a.verdict) - WORST.indexOf(b.verdict));
  const drawn = rest.slice(0, DRAWN).map((group) => groupFigure(group, places, around));
  return [
    drawn.length === 0 ? '' : LEGEND,
    drawn.join('\n'),
    notDrawn(rest.slice(DRAWN), places),
    redundant(good, places),
  ]
    .filter((part) => part !== '')
    .join('\n');
}

function anchor(name: string, places: Places): string {
  return `g${places.groups.get(name) ?? 0}`;
}

function groupFigure(group: GroupResult, places: Places, around: Surroundings): string {
  const number = places.groups.get(group.name) ?? 0;
  const mark = GROUP_MARKS[group.verdict];
  const jobs = jobLinks(places.jobsOfGroup.get(group.name) ?? []);
  const points = singlePointWords(group.singlePoints);
  const lines = [
    ...(points === '' ? [] : [`The loss of ${text(points, 400)} alone would end it.`]),
    ...(points !== '' || group.pairs.length === 0
      ? []
      : [`It would take two failures at once: ${text(doubleFailureWords(group.pairs), 400)}.`]),
    text(plannedWords(group), 400),
    ...availability(group),
    ...whyUnproven(group).map((reason) => text(reason, 400)),
    ...(group.inferred
      ? ['This group is not in the plan. It follows from matching ports of the two controllers.']
      : []),
  ];
  return `<section class="group" id="g${number}"><div class="keep"><h3>${text(group.name)} <span class="verdict ${group.verdict}"><b>${mark.sign}</b> ${mark.word}</span></h3>
<p>${text(capital(pathsWords(group)), 200)} (${basisWords(group)}). ${jobs === '' ? '' : `See ${jobs}.`}</p>
<div class="wide" tabindex="0" role="region" aria-label="Drawing of ${text(group.name, 80)}">${pathDrawing(group, number, around)}</div></div>
${items(lines, 'losses')}</section>`;
}

function availability({ availability: stated }: GroupResult): string[] {
  return stated === undefined
    ? []
    : [`Availability, from the figures that the plan states: ${text(availabilityWords(stated), 200)}.`];
}

function notDrawn(groups: readonly GroupResult[], places: Places): string {
  if (groups.length === 0) return '';
  const rows = groups.map((group) => [
    `<span id="${anchor(group.name, places)}">${text(group.name, 80)}</span>`,
    `${GROUP_MARKS[group.verdict].sign} ${GROUP_MARKS[group.verdict].word}`,
    text(pathsWords(group), 120),
    prose(singlePointWords(group.singlePoints, 4), 300) || '–',
    jobLinks(places.jobsOfGroup.get(group.name) ?? []) || '–',
  ]);
  return `<h3>${count(groups.length, 'more group')} that ${groups.length === 1 ? 'is' : 'are'} not redundant as planned</h3>${table('Groups that are not redundant as planned', ['Group', 'Verdict', 'Paths', 'Would end it', 'Job'], rows)}`;
}

function redundant(groups: readonly GroupResult[], places: Places): string {
  if (groups.length === 0) return '';
  const stated = groups.some((group) => group.availability !== undefined);
  const rows = groups.map((group) => [
    `<span id="${anchor(group.name, places)}">${text(group.name, 80)}</span>`,
    text(pathsWords(group), 120),
    `<span class="k">${text(basisWords(group))}</span>`,
    text(doubleFailureWords(group.pairs), 300) || 'no two things',
    ...(stated
      ? [group.availability === undefined ? '' : text(availabilityWords(group.availability), 200)]
      : []),
  ]);
  const heads = ['Group', 'Paths', 'Basis', 'Would end it at once', ...(stated ? ['Availability'] : [])];
  return `<h3>Redundant as planned</h3>${table('Groups that are redundant as planned', heads, rows)}`;
}
