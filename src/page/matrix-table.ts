/**
 * The matrix: endpoints down, grouped by device and controller; one column group a vantage, one column a probe. Markup is terse (end tags
 * that HTML leaves optional are left out) because a large site has a hundred thousand cells.
 */

import type { EndpointResult, EndpointSighting, Matrix } from '../matrix/matrix.js';
import type { Cell } from '../result/cell.js';
import { type CellContext, cellsOf, PROBE_COLUMNS, type ProbeColumn } from '../result/cells.js';
import type { NumberedFinding } from '../result/numbered.js';
import { groupBy } from '../result/relate.js';
import { MARKS, type Mark } from '../text/marks.js';
import { text } from './markup.js';
import type { Places } from './places.js';

/** Rows of one table; a larger matrix is several tables, so that the browser lays out only those in sight. */
const ROWS_PER_TABLE = 60;
const CELL_LIMIT = 120;
/** What a device calls itself is cut sooner than our own words. */
const BOX_LIMIT = 40;
const FINDINGS_SHOWN = 6;

const CLASS_OF: Readonly<Record<Mark, string>> = {
  matches: 'm',
  differs: 'd',
  missing: 'x',
  unproven: 'u',
  told: 't',
};

export function matrixTables(matrix: Matrix, places: Places): string {
  const devices = [...groupBy(matrix.endpoints, ({ device }) => device)];
  const parts: [string, EndpointResult[]][][] = [];
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
      matrixTable(matrix, places, part, parts.length === 1 ? '' : ` (part ${index + 1} of ${parts.length})`),
    )
    .join('\n');
}

function matrixTable(
  matrix: Matrix,
  places: Places,
  devices: readonly (readonly [string, readonly EndpointResult[]])[],
  part: string,
): string {
  const { vantages } = matrix;
  const width = PROBE_COLUMNS.length;
  const groups = vantages
    .map(({ name }) => `<th scope="colgroup" colspan="${width}" class="vt">from ${text(name, 60)}</th>`)
    .join('');
  const probes = vantages
    .map(() =>
      PROBE_COLUMNS.map(
        ({ title }, index) => `<th scope="col"${index === 0 ? ' class="vt"' : ''}>${title}</th>`,
      ).join(''),
    )
    .join('');
  const columns = vantages
    .map(() => `<colgroup>${PROBE_COLUMNS.map((_, index) => `<col class="p${index}">`).join('')}</colgroup>`)
    .join('');
  const bodies = devices.map(([name, endpoints]) => deviceBodies(matrix, places, name, endpoints)).join('\n');
  const caption = `Matrix${part}: ${devices[0]?.[0] ?? ''}${devices.length > 1 ? ` to ${devices.at(-1)?.[0] ?? ''}` : ''}`;
  return `<div class="part"><table class="matrix"><caption>${text(caption)}</caption><colgroup><col class="c1"><col class="c2"></colgroup>${columns}
<thead><tr><th scope="col" rowspan="2" class="port">Port<th scope="col" rowspan="2">Verdict${groups}<tr>${probes}</thead>
${bodies}</table></div>`;
}

function deviceBodies(
  matrix: Matrix,
  places: Places,
  name: string,
  endpoints: readonly EndpointResult[],
): string {
  const number = places.devices.get(name) ?? 0;
  const plannedDevice = matrix.plan.model.devices.find((device) => device.name === name);
  const where = [
    plannedDevice?.rack === undefined ? '' : `rack ${text(plannedDevice.rack, 40)}`,
    plannedDevice?.units === undefined ? '' : unitsOf(plannedDevice.units),
  ].filter((part) => part !== '');
  const span = 2 + matrix.vantages.length * PROBE_COLUMNS.length;
  return [...groupBy(endpoints, ({ controller }) => controller)]
    .map(([controller, own], index) => {
      const title = controller === '' ? text(name) : `${text(name)} · controller ${text(controller, 60)}`;
      const id = index === 0 ? ` id="d${number}"` : '';
      const place = where.length > 0 ? ` <small>${where.join(', ')}</small>` : '';
      return `<tbody data-d="${number}"><tr class="g"${id}><th scope="rowgroup" colspan="${span}"><span>${title}${place}</span></th></tr>
${own.map((endpoint) => row(matrix, places, endpoint)).join('\n')}`;
    })
    .join('\n');
}

function row(matrix: Matrix, places: Places, endpoint: EndpointResult): string {
  const number = places.endpoints.get(endpoint.id) ?? 0;
  const mark = MARKS[endpoint.verdict];
  const speaking = places.speakingOf.get(endpoint.id) ?? [];
  const address = endpoint.address === '' ? 'no address' : text(endpoint.address, 60);
  const context = places.contextOf(endpoint);
  const cells = matrix.vantages
    .map(({ name }) => {
      const sighting = endpoint.sightings.find(({ vantage }) => vantage === name);
      return vantageCells(endpoint, sighting, context);
    })
    .join('');
  return `<tr id="e${number}" class="${CLASS_OF[endpoint.verdict]}"><th scope="row"><a href="#v${number}">${text(endpoint.port, 60)}</a> <small>${address}</small><td class="${CLASS_OF[endpoint.verdict]}"><b>${mark.sign}</b> ${mark.word}${see(speaking, number)}${cells}`;
}

/** Findings about the endpoint on a quieter line: as they are numbered, so causes before what follows from them, notes last. */
function see(speaking: readonly NumberedFinding[], number: number): string {
  if (speaking.length === 0) return '';
  const link = (each: NumberedFinding): string =>
    `<a href="#f${each.number}" aria-label="finding ${each.number}">${each.number}</a>`;
  const shown = speaking.slice(0, FINDINGS_SHOWN);
  const links = (note: boolean): string =>
    shown
      .filter(({ finding }) => (finding.severity === 'note') === note)
      .map(link)
      .join(', ');
  const parts = [
    links(false) === '' ? '' : `see ${links(false)}`,
    links(true) === '' ? '' : `note ${links(true)}`,
    speaking.length > FINDINGS_SHOWN ? `<a href="#v${number}">more</a>` : '',
  ];
  return ` <small>${parts.filter((part) => part !== '').join('; ')}</small>`;
}

function vantageCells(
  endpoint: EndpointResult,
  sighting: EndpointSighting | undefined,
  context: CellContext,
): string {
  const whole = wholeCell(endpoint, sighting);
  if (whole !== undefined || sighting === undefined)
    return `<td class="u vt" colspan="${PROBE_COLUMNS.length}"><b>?</b> ${whole ?? 'not looked at from here'}`;
  const cells = cellsOf(endpoint, sighting, context);
  return PROBE_COLUMNS.map(({ key }, index) => cellMarkup(cells[key], key, index === 0)).join('');
}

/** One text for all probes of a vantage where none could be asked. */
function wholeCell(endpoint: EndpointResult, sighting: EndpointSighting | undefined): string | undefined {
  if (sighting === undefined)
    return endpoint.address === '' ? 'no address to ask' : 'not looked at from here';
  const nothing =
    sighting.presence.outcome !== 'claimed' &&
    sighting.icmp.outcome === 'not-run' &&
    Object.keys(sighting.link).length === 0;
  return sighting.reach === 'no-route' && nothing ? 'no route from here' : undefined;
}

function cellMarkup({ mark, text: words }: Cell, key: ProbeColumn, first: boolean): string {
  const names = [mark === undefined ? '' : CLASS_OF[mark], first ? 'vt' : '']
    .filter((name) => name !== '')
    .join(' ');
  // A frame round the sign only where something is to be seen: an element less in most of the cells.
  const sign =
    mark === undefined
      ? ''
      : mark === 'matches' || mark === 'told'
        ? `${MARKS[mark].sign} `
        : `<b>${MARKS[mark].sign}</b> `;
  return `<td${names === '' ? '' : names.includes(' ') ? ` class="${names}"` : ` class=${names}`}>${sign}${text(words, key === 'box' ? BOX_LIMIT : CELL_LIMIT)}`;
}

function unitsOf({ from, to }: { readonly from: number; readonly to: number }): string {
  return from === to ? `unit ${Number(from)}` : `units ${Number(from)}–${Number(to)}`;
}
