/** Pull tests that were made, and the paths of all groups in words. */
import type { GroupResult, Matrix, PathResult } from '../matrix/matrix.js';
import { describeThing } from '../redundancy/things.js';
import type { DrillRecord } from '../sighting/types.js';
import { PATH_MARKS } from '../text/marks.js';
import { code, table, text } from './markup.js';
import { endpointLink, type Places } from './places.js';
import { time } from './time.js';

const OUTCOME_WORDS: Readonly<Record<DrillRecord['outcome'], string>> = {
  survived: 'the group went on',
  lost: 'the group stopped',
  skipped: 'not done',
  aborted: 'stopped before the end',
  'not-noticed': 'nothing that hangs on it went away',
  unproven: 'pulled, but too little could be watched from there to tell',
};

const NOT_WATCHED = 'not done: nothing that hangs on it could be watched from there';

export function pullTests({ evidence }: Matrix, { zoneMinutes }: Places): string {
  const rows = evidence
    .flatMap(({ drills }) => drills)
    .map(({ group, pulled, outcome, why, gaps, resolutionMs, by, finishedAt }) => [
      text(group, 80),
      text(describeThing(pulled), 120),
      why === 'not-watched' ? NOT_WATCHED : OUTCOME_WORDS[outcome],
      gaps
        .map(
          ({ endpoint, gapMs, returned }) =>
            `${code(endpoint)} ${seconds(gapMs)}${returned ? '' : ', did not come back'}`,
        )
        .join('<br>') || 'none seen',
      `${seconds(resolutionMs)}`,
      `${text(by, 80)}, ${time(finishedAt, zoneMinutes)}`,
    ]);
  return rows.length === 0
    ? ''
    : `<h3>Pull tests</h3>${table('Pull tests', ['Group', 'Pulled', 'Result', 'Gaps', 'Asked every', 'By'], rows)}`;
}

function seconds(milliseconds: number): string {
  return `${(Math.round(milliseconds / 100) / 10).toFixed(1)} s`;
}

/** For the appendix: each path with what it runs through. */
export function pathTables({ groups }: Matrix, places: Places): string {
  return groups.map((group) => pathTable(group, places)).join('\n');
}

function pathTable(group: GroupResult, places: Places): string {
  const rows = group.paths.map((path) => [
    path.endpoints.map((id) => endpointLink(places, id, code(id))).join(' → ') || code(path.id),
    stateWords(path),
    path.things.map(throughThing).join(', '),
  ]);
  return rows.length === 0
    ? ''
    : `<h4>${text(group.name, 80)}</h4>${table(`Paths of ${group.name}`, ['Path', 'State', 'Runs through'], rows, 'paths-table')}`;
}

function stateWords({ state, why }: PathResult): string {
  const { sign, word } = PATH_MARKS[state];
  return `${sign} ${word}${why === undefined ? '' : `: ${text(why)}`}`;
}

function throughThing({ kind, name, source }: PathResult['things'][number]): string {
  return `${text(kind.replace('-', ' '), 40)} ${text(name, 80)} <small>(${source})</small>`;
}
