import type { GroupResult, Matrix, PathResult, Thing } from '../matrix/matrix.js';
import { describeThing } from '../redundancy/things.js';
import type { DrillRecord } from '../sighting/types.js';
import { GROUP_MARKS } from '../text/marks.js';
import { availabilityWords } from '../text/percent.js';
import { count } from '../text/sentence.js';
import { code, items, table, text, time } from './markup.js';
import { pathDrawing } from './path-drawing.js';
import { PATHS_DRAWN, type Surroundings } from './path-layout.js';
import { endpointLink, type Places } from './places.js';

const PAIRS_SHOWN = 6;

const LEGEND = `<p class="legend"><svg class="key" width="44" height="12" aria-hidden="true"><path class="line live" d="M2 6H42"/></svg> live
<svg class="key" width="44" height="12" aria-hidden="true"><path class="line dead" d="M2 6H42"/></svg> × dead
<svg class="key" width="44" height="12" aria-hidden="true"><path class="line unproven" d="M2 6H42"/></svg> ? unproven
<span class="ringed">double frame</span> single point: its loss alone takes the group below what it needs</p>`;

export function groupsSection(matrix: Matrix, places: Places): string {
  if (matrix.groups.length === 0) return '<p>The plan names no redundancy group.</p>';
  const around: Surroundings = {
    endpoints: new Map(matrix.endpoints.map((endpoint) => [endpoint.id, endpoint])),
    vantages: matrix.vantages.map(({ name }) => name),
  };
  const drills = matrix.evidence.flatMap((evidence) => evidence.drills);
  const drawn = matrix.groups.map((group, index) => groupFigure(group, index + 1, places, around, drills));
  return LEGEND + drawn.join('\n');
}

function groupFigure(
  group: GroupResult,
  number: number,
  places: Places,
  around: Surroundings,
  drills: readonly DrillRecord[],
): string {
  const mark = GROUP_MARKS[group.verdict];
  const findings = places.findings
    .filter(({ finding }) => finding.subject === group.name)
    .map((each) => `<a href="#f${each.number}">finding ${each.number}</a>`);
  const left = group.paths.length - PATHS_DRAWN;
  const own = drills.filter((drill) => drill.group === group.name);
  return `<section class="group" id="g${number}"><div class="keep"><h3>${text(group.name)} <span class="verdict ${group.verdict}"><b>${mark.sign}</b> ${mark.word}</span></h3>
<p>Needs ${count(group.need, 'path')} of ${group.planned.length}; ${group.live.length} live.${group.inferred ? ' Nobody wrote this group: common practice suggested it from the address list.' : ''} ${findings.join(', ')}</p>
${items(group.reasons.map((reason) => text(reason)))}
<div class="wide" tabindex="0" role="region" aria-label="Drawing of ${text(group.name, 80)}">${pathDrawing(group, number, around)}</div></div>
${left > 0 ? `<p class="aside">${count(left, 'more path')} not drawn; all stand below.</p>` : ''}
${items(lossLines(group), 'losses')}
<details><summary>In words: ${count(group.paths.length, 'path')} of ${text(group.name, 80)}</summary>${pathsTable(group, places)}</details>
${drillTable(own)}</section>`;
}

function lossLines(group: GroupResult): string[] {
  const singles = group.singlePoints.map((single) => `<b>Single point:</b> ${thing(single)}.`);
  const pairs = group.pairs
    .slice(0, PAIRS_SHOWN)
    .map(([a, b]) => `Losing ${thing(a)} and ${thing(b)} together would end it.`);
  const hidden = group.pairs.length - pairs.length;
  const more = hidden > 0 ? [`${count(hidden, 'more pair')} would end it.`] : [];
  return [...singles, ...pairs, ...more, asPlanned(group), ...availability(group)];
}

function asPlanned({ asPlanned: plan, verdict, singlePoints }: GroupResult): string {
  const planned = `As planned it would be ${GROUP_MARKS[plan.verdict].word}`;
  const points =
    plan.singlePoints.length === 0 ? '' : `, with ${plan.singlePoints.map(thing).join(', ')} as single point`;
  if (plan.verdict === verdict && plan.singlePoints.length === singlePoints.length)
    return `${planned}${points}: the site is as the plan has it.`;
  return plan.verdict === 'redundant' && verdict !== 'unproven'
    ? `${planned}: the site, not the plan, falls short.`
    : `${planned}${points}.`;
}

function availability({ availability: stated }: GroupResult): string[] {
  if (stated === undefined) return [];
  return [`Availability from the figures that the plan states: ${availabilityWords(stated)}.`];
}

function thing({ kind, name }: Thing): string {
  return `${text(kind.replace('-', ' '), 40)} <b>${text(name, 80)}</b>`;
}

function pathsTable(group: GroupResult, places: Places): string {
  const rows = group.paths.map((path) => [
    pathName(path, places),
    stateWords(path),
    path.things.map(throughThing).join(', '),
  ]);
  return table(`Paths of ${group.name}`, ['Path', 'State', 'Runs through'], rows, 'paths-table');
}

function pathName(path: PathResult, places: Places): string {
  return path.endpoints.map((id) => endpointLink(places, id, code(id))).join(' → ') || code(path.id);
}

function stateWords({ state, why }: PathResult): string {
  return `${state === 'live' ? '=' : state === 'dead' ? '×' : '?'} ${text(state)}${why === undefined ? '' : `: ${text(why)}`}`;
}

function throughThing({ kind, name, source }: PathResult['things'][number]): string {
  return `${text(kind.replace('-', ' '), 40)} ${text(name, 80)} <small>(${text(source)})</small>`;
}

function drillTable(drills: readonly DrillRecord[]): string {
  const rows = drills.map(({ pulled, outcome, gaps, resolutionMs, by, finishedAt }) => [
    text(describeThing(pulled), 120),
    text(outcome),
    gaps
      .map(
        ({ endpoint, gapMs, returned }) =>
          `${code(endpoint)} ${Math.round(gapMs)} ms${returned ? '' : ', did not return'}`,
      )
      .join('<br>') || 'none seen',
    `${Number(resolutionMs)} ms`,
    `${text(by, 80)}, ${time(finishedAt)}`,
  ]);
  return table('Pull tests', ['Pulled', 'Outcome', 'Gaps', 'Known to within', 'By'], rows);
}
