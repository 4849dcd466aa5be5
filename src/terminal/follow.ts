/** The matrix while it is followed: a row an endpoint below its device, fitted to the height of the terminal. */

import type { EndpointResult, Matrix } from '../matrix/matrix.js';
import { type FactColumn, type FactRow, factTable } from '../result/fact-table.js';
import { cleanText } from '../text/clean.js';
import { groupBy } from '../text/group-by.js';
import { MARKS } from '../text/marks.js';
import { count, naturalOrder } from '../text/sentence.js';
import { ink, inkOf, plain, signOf, type TextStyle } from './style.js';
import { padTo, widthOf, wrap } from './wrap.js';

export interface FollowScreen {
  /** What changed last, oldest first; as many as there is room for are shown. `clock`: `09:05:07`. */
  readonly log: readonly { readonly clock: string; readonly text: string }[];
  /** The line below it all. */
  readonly status: string;
  /** Rows of the terminal. */
  readonly height: number;
}

const VERDICTS = ['matches', 'differs', 'missing', 'unproven'] as const;
const LOG_ROWS = 8;
/** Of one change; what is longer stands in the matrix. */
const CHANGE_ROWS = 4;
const STATUS_ROWS = 3;
/** The blanks above the log and the status, and the row that the cursor stands in. */
const OTHER_ROWS = 3;
const LEAST_TABLE_ROWS = 3;
/** Where less is left beside verdict and address, what was measured stands on a line of its own, in columns. */
const BESIDE = 24;

/** Lines without an end of line, none wider than the terminal, fewer than its rows. Words stay whole as far as the terminal has room for one. */
export function renderFollow(matrix: Matrix, screen: FollowScreen, style: TextStyle): string[] {
  const status = paragraph(style, screen.status, STATUS_ROWS);
  const left = screen.height - status.length - OTHER_ROWS;
  const log = newest(style, screen.log, Math.min(LOG_ROWS, left - LEAST_TABLE_ROWS));
  const room = Math.max(LEAST_TABLE_ROWS, left - log.length);
  const devices = [...groupBy(matrix.endpoints, ({ device }) => device)].sort(([a], [b]) =>
    naturalOrder(a, b),
  );
  const whole =
    matrix.endpoints.length + devices.length > room
      ? undefined
      : [true, false]
          .map((spacious) => endpointRows(matrix, devices, style, spacious))
          .find((rows) => rows.length <= room);
  const table = whole ?? deviceRows(devices, room, style);
  return [...table, '', ...log, ...(log.length > 0 ? [''] : []), ...status];
}

/** As many of the last changes as there is room for, oldest first. */
function newest(style: TextStyle, log: FollowScreen['log'], room: number): string[] {
  const shown: string[] = [];
  for (const { clock, text } of [...log].reverse()) {
    const lines = paragraph(style, text, Math.min(CHANGE_ROWS, room), `${clock}  `);
    if (shown.length + lines.length > room) break;
    shown.unshift(...lines);
  }
  return shown;
}

/** Broken at blanks; of more lines than `most`, the last ends in dots. */
function paragraph(style: TextStyle, text: string, most: number, first = ''): string[] {
  const lines = wrap(style, text, first, '  ').trimEnd().split('\n');
  const shown = lines.slice(0, Math.max(0, most));
  if (shown.length === lines.length) return shown.map((line) => cut(style, line));
  return shown.map((line, at) =>
    cut(style, at === shown.length - 1 ? `${line} ${lines[at + 1]?.trim()}` : line),
  );
}

type Devices = readonly (readonly [string, readonly EndpointResult[]])[];

/** `spacious`: what was measured has a line of its own where the terminal is narrow; else it is left out as far as there is no room. */
function endpointRows(matrix: Matrix, devices: Devices, style: TextStyle, spacious: boolean): string[] {
  const facts = factTable(matrix);
  const rows = new Map(facts.rows.map((row) => [row.endpoint.id, row]));
  const names = matrix.endpoints.map((endpoint) => shortName(endpoint));
  const columns = Math.min(28, Math.max(4, ...names.map(widthOf)));
  return devices.flatMap(([device, endpoints]) => [
    ink(style, cut(style, cleanText(device, 80)), 'bold'),
    ...endpoints.flatMap((endpoint) => {
      const words = `${signOf(style, MARKS[endpoint.verdict])} ${MARKS[endpoint.verdict].word}`;
      const name = shortName(endpoint);
      const rest = `${padTo(words, 11)}  ${padTo(endpoint.address, 16)}`;
      const lead = `  ${padTo(name, columns)}  `;
      const measured = seen(rows.get(endpoint.id), facts.columns);
      const narrow = style.width - widthOf(lead + rest) < BESIDE;
      // A name that leaves no room for what is said of it stands alone.
      const [head, body] =
        widthOf(lead + rest.trimEnd()) < style.width ? [[], lead] : [[`  ${name}`], '    '];
      const lines = !narrow
        ? [...head, `${body}${rest}${measured}`]
        : [...head, `${body}${rest}`, ...(spacious && measured !== '' ? [`    ${measured}`] : [])];
      return lines.map((line) =>
        cut(style, line.trimEnd()).replace(words, ink(style, words, ...inkOf(MARKS[endpoint.verdict].tone))),
      );
    }),
  ]);
}

function shortName({ id, device }: EndpointResult): string {
  return cleanText(id.startsWith(`${device}/`) ? id.slice(device.length + 1) : id, 60);
}

/** What is known of its planned facts, in the words of the matrix; where no column head stands above, the words say what they are of. */
function seen(row: FactRow | undefined, columns: readonly FactColumn[]): string {
  if (row === undefined) return '';
  const words = columns.flatMap(({ of, title }, index) => {
    const cell = row.cells[index];
    if (cell === undefined) return [];
    const text = cleanText(cell.text, 60);
    if (of === 'service') return [cell.plain === true ? title : `${title} ${text}`];
    return [of === 'mtu' ? `MTU ${text}` : text];
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
  const columns = Math.min(28, Math.max(...amounts.map(({ device }) => widthOf(cleanText(device, 60)))));
  const blockOf = ({ device, by }: (typeof amounts)[number]): string[] => {
    const words = VERDICTS.flatMap((verdict) => {
      const amount = by.get(verdict)?.length ?? 0;
      return amount === 0 ? [] : [`${signOf(style, MARKS[verdict])} ${amount} ${verdict}`];
    });
    return inColumns(style, padTo(cleanText(device, 60), columns), words);
  };
  const all = amounts.map(blockOf);
  if (all.flat().length <= room) return all.flat();
  const shown: string[][] = [];
  for (const amount of [...amounts].sort((a, b) => b.wrong - a.wrong)) {
    const block = blockOf(amount);
    if (shown.flat().length + block.length > room - 1) break;
    shown.push(block);
  }
  const hidden = amounts.length - shown.length;
  return [...shown.flat(), cut(style, `and ${count(hidden, 'more device', 'more devices')}`)];
}

/** On one line where they fit, else on lines of their own below the name. */
function inColumns(style: TextStyle, name: string, words: readonly string[]): string[] {
  const line = `${name}  ${words.join('   ')}`;
  if (widthOf(plain(style, line)) < style.width) return [plain(style, line)];
  const lines: string[] = [name.trimEnd()];
  for (const word of words) {
    const last = lines.at(-1) ?? '';
    const joined = `${last}   ${word}`;
    if (lines.length > 1 && widthOf(plain(style, joined)) < style.width) lines[lines.length - 1] = joined;
    else lines.push(`  ${word}`);
  }
  return lines.map((each) => cut(style, each));
}

/** One line of the terminal at most: the screen is redrawn by counting them. Cut between words, within one only where it fills the line. */
function cut(style: TextStyle, text: string): string {
  const room = Math.max(10, style.width - 1);
  const written = plain(style, text);
  if (widthOf(written) <= room) return written;
  const dots = plain(style, '…');
  let kept = '';
  for (const character of written) {
    if (widthOf(kept + character) > room - dots.length - 1) break;
    kept += character;
  }
  const blank = written[kept.length] === ' ' ? kept.length : kept.lastIndexOf(' ');
  const whole = kept.slice(0, Math.max(0, blank)).replace(/[ ,]+$/, '');
  return whole.trim() === '' ? kept + dots : `${whole} ${dots}`;
}
