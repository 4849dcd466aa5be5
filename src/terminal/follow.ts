/** The matrix while it is followed: a row an endpoint below its device, fitted to the height of the terminal. */

import type { EndpointResult, Matrix } from '../matrix/matrix.js';
import { type FactColumn, type FactRow, factTable } from '../result/fact-table.js';
import { cleanText } from '../text/clean.js';
import { groupBy } from '../text/group-by.js';
import { MARKS } from '../text/marks.js';
import { count, naturalOrder } from '../text/sentence.js';
import { ink, inkOf, plain, signOf, type TextStyle } from './style.js';
import { padTo, widthOf } from './wrap.js';

export interface FollowScreen {
  /** What changed last, oldest first; as many as there is room for are shown. */
  readonly log: readonly string[];
  /** The line below it all. */
  readonly status: string;
  /** Rows of the terminal. */
  readonly height: number;
}

const VERDICTS = ['matches', 'differs', 'missing', 'unproven'] as const;
const LOG_ROWS = 8;
/** Status, the blank above it and above the log, and the row that the cursor stands in. */
const OTHER_ROWS = 4;

/** Lines without an end of line, none wider than the terminal, fewer than its rows. */
export function renderFollow(matrix: Matrix, screen: FollowScreen, style: TextStyle): string[] {
  const log = screen.log.slice(-LOG_ROWS);
  const room = Math.max(3, screen.height - log.length - OTHER_ROWS);
  const devices = [...groupBy(matrix.endpoints, ({ device }) => device)].sort(([a], [b]) =>
    naturalOrder(a, b),
  );
  const full = matrix.endpoints.length + devices.length <= room;
  const table = full ? endpointRows(matrix, devices, style) : deviceRows(devices, room, style);
  return [
    ...table,
    '',
    ...log.map((line) => cut(style, line)),
    ...(log.length > 0 ? [''] : []),
    cut(style, screen.status),
  ];
}

type Devices = readonly (readonly [string, readonly EndpointResult[]])[];

function endpointRows(matrix: Matrix, devices: Devices, style: TextStyle): string[] {
  const facts = factTable(matrix);
  const rows = new Map(facts.rows.map((row) => [row.endpoint.id, row]));
  const names = matrix.endpoints.map((endpoint) => shortName(endpoint));
  const columns = Math.min(28, Math.max(4, ...names.map(widthOf)));
  return devices.flatMap(([device, endpoints]) => [
    ink(style, cut(style, cleanText(device, 80)), 'bold'),
    ...endpoints.map((endpoint) => {
      const words = `${signOf(style, MARKS[endpoint.verdict])} ${MARKS[endpoint.verdict].word}`;
      const lead = `  ${padTo(shortName(endpoint), columns)}  `;
      const line = cut(
        style,
        `${lead}${padTo(words, 11)}  ${padTo(endpoint.address, 16)}${seen(rows.get(endpoint.id), facts.columns)}`,
      );
      return line.replace(words, ink(style, words, ...inkOf(MARKS[endpoint.verdict].tone)));
    }),
  ]);
}

function shortName({ id, device }: EndpointResult): string {
  return cleanText(id.startsWith(`${device}/`) ? id.slice(device.length + 1) : id, 60);
}

/** What is known of its planned facts, in the words of the matrix; where no column head stands above, the words say what they are of. */
function seen(row: FactRow | undefined, columns: readonly FactColumn[]): string {
  if (row === undefined) return '';
  const words = columns.flatMap(({ key, title }, index) => {
    const cell = row.cells[index];
    if (cell === undefined) return [];
    const text = cleanText(cell.text, 60);
    if (key.startsWith('service ')) return [text === 'answers' ? title : `${title} ${text}`];
    return [key === 'mtu' ? `MTU ${text}` : text];
  });
  return words.length === 0 ? cleanText(row.endpoint.reasons[0] ?? '', 120) : words.join(', ');
}

/** One row a device where the endpoints do not fit; what is not as planned first where even that is too much. */
function deviceRows(devices: Devices, room: number, style: TextStyle): string[] {
  const amounts = devices.map(([device, endpoints]) => ({
    device,
    wrong: endpoints.filter(({ verdict }) => verdict !== 'matches').length,
    by: groupBy(endpoints, ({ verdict }) => verdict),
  }));
  const fits = amounts.length <= room;
  const shown = fits ? amounts : [...amounts].sort((a, b) => b.wrong - a.wrong).slice(0, room - 1);
  const columns = Math.min(28, Math.max(...shown.map(({ device }) => widthOf(cleanText(device, 60)))));
  const rows = shown.map(({ device, by }) => {
    const words = VERDICTS.flatMap((verdict) => {
      const amount = by.get(verdict)?.length ?? 0;
      return amount === 0 ? [] : [`${signOf(style, MARKS[verdict])} ${amount} ${verdict}`];
    });
    return cut(style, `${padTo(cleanText(device, 60), columns)}  ${words.join('   ')}`);
  });
  const hidden = amounts.length - shown.length;
  return hidden === 0 ? rows : [...rows, cut(style, `and ${count(hidden, 'more device', 'more devices')}`)];
}

/** One line of the terminal at most: the screen is redrawn by counting them. */
function cut(style: TextStyle, text: string): string {
  const room = Math.max(10, style.width - 1);
  const written = plain(style, text);
  if (widthOf(written) <= room) return written;
  const dots = plain(style, '…');
  let kept = '';
  for (const character of written) {
    if (widthOf(kept + character) > room - dots.length) break;
    kept += character;
  }
  return kept + dots;
}
