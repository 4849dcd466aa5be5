/**
 * The matrix: endpoints down, grouped by device and controller; one column a planned fact. Markup is terse (end tags that HTML leaves optional
 * are left out) because a large site has a hundred thousand cells.
 */

import type { Matrix } from '../matrix/matrix.js';
import {
  type FactCell,
  type FactColumn,
  type FactRow,
  type FactTable,
  factTable,
} from '../result/fact-table.js';
import { groupBy } from '../text/group-by.js';
import { MARK_MEANINGS, MARKS, type Mark } from '../text/marks.js';
import { list } from '../text/sentence.js';
import { filterBar } from './filter-bar.js';
import { MARK_CLASS } from './mark-class.js';
import { items, prose, text } from './markup.js';
import { jobLinks, type Places } from './places.js';

/** Rows of one table; a larger matrix is several tables, so that the browser lays out only those in sight. */
const ROWS_PER_TABLE = 60;
const CELL_LIMIT = 200;
/** What a device calls itself is cut sooner than our own words, which are whole. */
const DEVICE_LIMIT = 40;

export function matrixSection(matrix: Matrix, places: Places): string {
  if (matrix.endpoints.length === 0) return '<p>The plan names no endpoint.</p>';
  const facts = factTable(matrix);
  const shown = new Set<Mark>(facts.rows.flatMap(({ cells }) => cells.flatMap((cell) => cell?.mark ?? [])));
  const key = (['matches', 'differs', 'missing', 'unproven', 'told'] as const)
    .filter((mark) => mark !== 'told' || shown.has('told'))
    .map((mark) => `<li><b>${MARKS[mark].sign}</b> ${MARKS[mark].word}: ${MARK_MEANINGS[mark]}</li>`)
    .join('');
  return `<ul class="key-list">${key}</ul>
${fromLine(matrix, facts)}${items(facts.unasked.map((sentence) => text(sentence, 400)))}
${filterBar(matrix, places)}<div class="board" tabindex="0" role="region" aria-label="Matrix of endpoints and facts">${tables(matrix, places, facts)}</div>`;
}

/** A MAC may break in its middle. */
const HALF_MAC =
  /(?<![\p{L}\p{N}:])(?:[\p{L}\p{N}]{2}:){3}(?=(?:[\p{L}\p{N}]{2}:){2}[\p{L}\p{N}]{2}(?![\p{L}\p{N}:]))/gu;
/** Names in cells up to this length are not broken. */
const WHOLE_NAME = 16;

/** Vantages are named only where they differ. */
function fromLine({ vantages }: Matrix, { from }: FactTable): string {
  if (vantages.length < 2) return '';
  const names = vantages.map(({ name }) => text(name, 60));
  const usual = from === '' ? '' : ` Where no vantage is named, it was ${text(from, 60)}.`;
  return `<p>Looked from ${list(names)}.${usual}</p>`;
}

function tables(matrix: Matrix, places: Places, facts: FactTable): string {
  const devices = [...groupBy(facts.rows, ({ endpoint }) => endpoint.device)];
  const parts: [string, FactRow[]][][] = [];
  let rows = Number.POSITIVE_INFINITY;
  for (const device of devices) {
    if (rows >= ROWS_PER_TABLE) {
      parts.push([]);
      rows = 0;
    }
    parts.at(-1)?.push(device);
    rows += device[1].length;
  }
  return parts
    .map((part, index) =>
      matrixTable(
        matrix,
        places,
        facts.columns,
        part,
        parts.length === 1 ? '' : ` (part ${index + 1} of ${parts.length})`,
      ),
    )
    .join('\n');
}

function matrixTable(
  matrix: Matrix,
  places: Places,
  columns: readonly FactColumn[],
  devices: readonly (readonly [string, readonly FactRow[]])[],
  part: string,
): string {
  const heads = columns.map(({ title }) => `<th scope="col">${text(title, 40)}</th>`).join('');
  const widths = columns.map(({ of }) => `<col class="w-${of}">`).join('');
  const bodies = devices.map(([name, rows]) => deviceBodies(matrix, places, columns, name, rows)).join('\n');
  const caption = `Matrix${part}: ${devices[0]?.[0] ?? ''}${devices.length > 1 ? ` to ${devices.at(-1)?.[0] ?? ''}` : ''}`;
  return `<div class="part"><table class="matrix"><caption>${text(caption)}</caption><col class="c1"><col class="c2">${widths}
<thead><tr><th scope="col" class="port">Port<th scope="col">Verdict${heads}</thead>
${bodies}</table></div>`;
}

function deviceBodies(
  matrix: Matrix,
  places: Places,
  columns: readonly FactColumn[],
  name: string,
  rows: readonly FactRow[],
): string {
  const number = places.devices.get(name) ?? 0;
  const plannedDevice = matrix.plan.model.devices.find((device) => device.name === name);
  const where = [
    plannedDevice?.rack === undefined ? '' : `rack ${text(plannedDevice.rack, 40)}`,
    plannedDevice?.units === undefined ? '' : unitsOf(plannedDevice.units),
  ].filter((part) => part !== '');
  return [...groupBy(rows, ({ endpoint }) => endpoint.controller)]
    .map(([controller, own], index) => {
      const title = controller === '' ? text(name) : `${text(name)} · controller ${text(controller, 60)}`;
      const id = index === 0 ? ` id="d${number}"` : '';
      const place = where.length > 0 ? ` <small>${where.join(', ')}</small>` : '';
      return `<tbody data-d="${number}"><tr class="g"${id}><th scope="rowgroup" colspan="${2 + columns.length}"><span>${title}${place}</span></th></tr>
${own.map((each) => row(places, columns, each)).join('\n')}`;
    })
    .join('\n');
}

function row(places: Places, columns: readonly FactColumn[], { endpoint, from, cells }: FactRow): string {
  const number = places.endpoints.get(endpoint.id) ?? 0;
  const mark = MARKS[endpoint.verdict];
  const address = endpoint.address === '' ? 'no address' : text(endpoint.address, 60);
  const seenFrom = from === '' ? '' : `<small class="from">from ${text(from, 60)}</small>`;
  return `<tr id="e${number}" class="${MARK_CLASS[endpoint.verdict]}"><th scope="row"><a href="#v${number}">${text(endpoint.port, 60)}</a> <small>${address}</small>${seenFrom}<td class="${MARK_CLASS[endpoint.verdict]}"><b>${mark.sign}</b>\u00a0${mark.word}${work(places, endpoint.id)}${cells.map((cell, index) => cellMarkup(cell, columns[index]?.of)).join('')}`;
}

/** What somebody has to do about the endpoint, or about a group that it is in. */
function work({ jobsOf, groupJobsOf }: Places, id: string): string {
  const own = jobLinks(jobsOf.get(id) ?? []);
  const group = jobLinks(groupJobsOf.get(id) ?? []);
  const parts = [own, group === '' ? '' : `group: ${group}`].filter((part) => part !== '');
  return parts.length === 0 ? '' : ` <small>${parts.join('; ')}</small>`;
}

function cellMarkup(cell: FactCell | undefined, of: FactColumn['of'] | undefined): string {
  if (cell === undefined) return '<td>–';
  const { mark, text: words } = cell;
  // A frame round the sign only where something is to be seen: an element less in most of the cells.
  const sound = mark === 'matches' || mark === 'told';
  // A bare sign stands with its first word, never above it.
  const sign = sound ? `${MARKS[mark].sign}\u00a0` : `<b>${MARKS[mark].sign}</b> `;
  const shown = prose(words, sound && of === 'box' ? DEVICE_LIMIT : CELL_LIMIT, WHOLE_NAME);
  // On paper the sign stands alone where the words say no more than it does: there is no room for one word a hundred times.
  const alone = (cell.plain === true && sound) || words === MARKS[mark].word;
  const kind = alone ? `"${MARK_CLASS[mark]} p"` : MARK_CLASS[mark];
  return `<td class=${kind}>${sign}${shown.replace(HALF_MAC, '$&<wbr>')}`;
}

function unitsOf({ from, to }: { readonly from: number; readonly to: number }): string {
  return from === to ? `unit ${Number(from)}` : `units ${Number(from)}–${Number(to)}`;
}
