/** Pull tests that were made, and the paths of all groups in words. */
import type { GroupResult, Matrix, PathResult } from '../matrix/matrix.js';
import { describeThing } from '../redundancy/things.js';
import type { DrillRecord } from '../sighting/types.js';
import { groupBy } from '../text/group-by.js';
import { PATH_MARKS } from '../text/marks.js';
import { inWords, list } from '../text/sentence.js';
import { code, items, table, text } from './markup.js';
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

export function pullTests({ evidence }: Matrix, { zoneMinutes }: Places): string {
  const drills = evidence.flatMap((one) => one.drills);
  const rows = drills
    .filter(({ why }) => why !== 'not-watched')
    .map(({ group, pulled, outcome, gaps, resolutionMs, by, finishedAt }) => [
      text(group, 80),
      text(describeThing(pulled), 120),
      OUTCOME_WORDS[outcome],
      gaps
        .map(
          ({ endpoint, gapMs, returned }) =>
            `${code(endpoint)} ${seconds(gapMs)}${returned ? '' : ', did not come back'}`,
        )
        .join('<br>') || (outcome === 'skipped' ? '–' : 'none seen'),
      outcome === 'skipped' ? '–' : seconds(resolutionMs),
      `${text(by, 80)}, ${time(finishedAt, zoneMinutes)}`,
    ]);
  const leftOut = leftOutMarkup(drills);
  return rows.length === 0 && leftOut === ''
    ? ''
    : `<h3>Pull tests</h3>${table('Pull tests', ['Group', 'Pulled', 'Result', 'Gaps', 'Asked every', 'By'], rows)}${leftOut}`;
}

/** What nobody could have seen anything of, a line a group; what was pulled from another place is not among it. */
function leftOutMarkup(drills: readonly DrillRecord[]): string {
  const stepOf = ({ group, pulled }: DrillRecord) => JSON.stringify([group, pulled.kind, pulled.name]);
  const done = new Set(drills.filter(({ why }) => why === undefined).map(stepOf));
  const left = new Map(
    drills
      .filter((record) => record.why === 'not-watched' && !done.has(stepOf(record)))
      .map((record) => [stepOf(record), record]),
  );
  return items(
    [...groupBy([...left.values()], ({ group }) => group)].map(
      ([group, records]) =>
        `${text(group, 80)}: not pulled, because nothing of it could be watched from there: ${text(
          list(
            records.map(({ pulled }) => describeThing(pulled)),
            8,
          ),
          400,
        )}`,
    ),
  );
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
  return `${text(inWords(kind), 40)} ${text(name, 80)} <small>(${source})</small>`;
}
