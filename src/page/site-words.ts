/** The site as a list: for readers that do not see the drawing, and for screens too narrow for it. */
import type { EndpointResult, Matrix } from '../matrix/matrix.js';
import { singlePointWords } from '../result/group-words.js';
import { groupBy } from '../text/group-by.js';
import { MARKS, PATH_MARKS } from '../text/marks.js';
import { list } from '../text/sentence.js';
import { prose, text } from './markup.js';
import { jobLinks, type Places } from './places.js';
import { layOutSite, type PortCell } from './site-layout.js';

const NAMED = 8;

/** `detailed`: each port with its way; else what is not as planned, by device. */
export function siteWords(matrix: Matrix, places: Places, detailed: boolean): string {
  const points = matrix.groups.flatMap(({ singlePoints }) => singlePoints);
  const unique = [...new Map(points.map((point) => [`${point.kind} ${point.name}`, point])).values()];
  const ends =
    unique.length === 0 ? '' : `<p>Would end access: ${prose(singlePointWords(unique, NAMED), 600)}.</p>`;
  const cells = detailed ? cellsOf(matrix, places) : new Map<string, PortCell>();
  const devices = [...groupBy(matrix.endpoints, ({ device }) => device)].map(([device, endpoints]) => {
    const words = detailed
      ? endpoints.map((endpoint) => portWords(endpoint, cells.get(endpoint.id), places)).join('; ')
      : countWords(endpoints, places);
    return `<li><b>${prose(device, 90)}</b>: ${words}</li>`;
  });
  return `<div class="site-words">${ends}<ul>${devices.join('')}</ul></div>`;
}

function cellsOf(matrix: Matrix, places: Places): ReadonlyMap<string, PortCell> {
  const blocks = layOutSite(matrix, places.jobsOf).strips.flatMap(({ top, bottom }) => [...top, ...bottom]);
  return new Map(
    blocks.flatMap(({ controllers }) =>
      controllers.flatMap(({ cells }) => cells.map((cell) => [cell.endpoint.id, cell] as const)),
    ),
  );
}

function portWords(endpoint: EndpointResult, cell: PortCell | undefined, places: Places): string {
  const { sign, word } = MARKS[endpoint.verdict];
  const name = endpoint.controller === '' ? endpoint.port : `${endpoint.controller}/${endpoint.port}`;
  const lanes = (cell?.lanes ?? []).map(({ name }) => name);
  const way = lanes.length === 0 ? '' : `, to ${prose(list(lanes), 120)}`;
  const state = cell === undefined ? '' : `, ${PATH_MARKS[cell.state].word}`;
  const jobs = jobLinks(places.jobsOf.get(endpoint.id) ?? []);
  return `${text(name, 80)} ${sign} ${word}${way}${state}${jobs === '' ? '' : ` (${jobs})`}`;
}

function countWords(endpoints: readonly EndpointResult[], places: Places): string {
  const parts = (['matches', 'differs', 'missing', 'unproven'] as const).flatMap((verdict) => {
    const amount = endpoints.filter((endpoint) => endpoint.verdict === verdict).length;
    return amount === 0 ? [] : [`${MARKS[verdict].sign} ${amount} ${verdict}`];
  });
  const jobs = [...new Set(endpoints.flatMap(({ id }) => places.jobsOf.get(id) ?? []))].sort((a, b) => a - b);
  const told = jobLinks(jobs);
  return `${parts.join(', ')}${told === '' ? '' : ` (${told})`}`;
}
