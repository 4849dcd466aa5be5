/** A large site in one look: one square a port, ordered as the racks are. What is as planned is empty, so that the rest stands out. */

import type { EndpointResult, EndpointVerdict, Matrix } from '../matrix/matrix.js';
import { singlePointWords } from '../result/group-words.js';
import { groupBy } from '../text/group-by.js';
import { MARKS } from '../text/marks.js';
import { count, naturalOrder } from '../text/sentence.js';
import { MARK_CLASS } from './mark-class.js';
import { text } from './markup.js';
import { cut } from './site-drawing.js';

const WIDTH = 720;
/** From the largest squares to the smallest: the first that is low enough is drawn. Names need squares that a letter fits beside. */
const SIZES = [
  { square: 20, name: 112, columns: 8 },
  { square: 15, name: 92, columns: 8 },
  { square: 12, name: 78, columns: 8 },
  { square: 10, name: 62, columns: 16 },
  { square: 8, name: 0, columns: 24 },
  { square: 6, name: 0, columns: 48 },
  { square: 4, name: 0, columns: 96 },
] as const;
type Size = (typeof SIZES)[number];
const HEAD = 14;
const GAP = 14;
const NO_RACK = '';
/** Devices of one column: a rack stands whole unless it holds more than this; those that no rack is known of fill columns. */
const RACK_STACK = 24;
const STACK = 10;

interface MosaicRow {
  readonly device: string;
  readonly endpoints: readonly EndpointResult[];
}

interface Panel {
  readonly title: string;
  readonly rows: readonly MosaicRow[];
  readonly width: number;
  readonly height: number;
}

export interface Mosaic {
  readonly markup: string;
  readonly height: number;
}

/** `room`: height in units of the drawing. The smallest squares are drawn where nothing fits. */
export function siteMosaic(matrix: Matrix, room: number): Mosaic {
  const racks = racksOf(matrix);
  let drawn: Mosaic | undefined;
  for (const size of SIZES) {
    drawn = draw(racks, size, matrix);
    if (drawn.height <= room) return drawn;
  }
  return drawn ?? { markup: '', height: 0 };
}

/** Racks in their order, the devices of each from the top down; those without a rack last. */
function racksOf({ endpoints, plan }: Matrix): readonly (readonly [string, readonly MosaicRow[]])[] {
  const devices = new Map(plan.model.devices.map((device) => [device.name, device]));
  const rows = [...groupBy(endpoints, ({ device }) => device)].map(([device, own]) => ({
    device,
    endpoints: own,
  }));
  const unit = ({ device }: MosaicRow): number => devices.get(device)?.units?.to ?? 0;
  return [...groupBy(rows, ({ device }) => devices.get(device)?.rack ?? NO_RACK)]
    .sort(([a], [b]) => (a === NO_RACK ? 1 : b === NO_RACK ? -1 : naturalOrder(a, b)))
    .map(([rack, own]) => [
      rack,
      [...own].sort((a, b) => unit(b) - unit(a) || naturalOrder(a.device, b.device)),
    ]);
}

function panelsOf(racks: ReturnType<typeof racksOf>, { square, name, columns }: Size): readonly Panel[] {
  return racks.flatMap(([rack, rows]) => {
    const tall = rack === NO_RACK ? STACK : RACK_STACK;
    const stacks = Array.from({ length: Math.ceil(rows.length / tall) }, (_, index) =>
      rows.slice(index * tall, (index + 1) * tall),
    );
    return stacks.map((stack, index): Panel => {
      const widest = Math.min(columns, Math.max(...stack.map(({ endpoints }) => endpoints.length)));
      const lines = stack.reduce((sum, { endpoints }) => sum + Math.ceil(endpoints.length / columns), 0);
      const title = rack === NO_RACK ? (racks.length > 1 ? 'no rack' : '') : `rack ${rack}`;
      return {
        title: index === 0 || title === '' ? title : `${title}, ${index + 1}`,
        rows: stack,
        width: Math.max(name + widest * square, square * 6),
        height: HEAD + lines * square,
      };
    });
  });
}

function draw(racks: ReturnType<typeof racksOf>, size: Size, matrix: Matrix): Mosaic {
  const { plan, summary, endpoints } = matrix;
  let [x, y, tall] = [0, 0, 0];
  const parts = panelsOf(racks, size).map((panel) => {
    if (x > 0 && x + panel.width > WIDTH) {
      y += tall + GAP / 2;
      x = 0;
      tall = 0;
    }
    const markup = panelMarkup(panel, x, y, size);
    x += panel.width + GAP;
    tall = Math.max(tall, panel.height);
    return markup;
  });
  const height = y + tall + 2;
  const told = (['matches', 'differs', 'missing', 'unproven'] as const)
    .map(
      (verdict) =>
        `<svg class="key" width="12" height="12"><rect class="cell ${MARK_CLASS[verdict]}" x="1" y="1" width="10" height="10"/>${verdict === 'missing' ? crossMarkup(1, 1, 10) : ''}</svg> ${MARKS[verdict].sign} ${summary[verdict]} ${verdict}`,
    )
    .join(' ');
  return {
    height,
    markup: `<div class="site" role="img" aria-label="Mosaic of ${text(plan.site, 120)}: ${count(endpoints.length, 'port')}, one square each; the list after it says the same in words"><svg class="mosaic" aria-hidden="true" viewBox="0 0 ${WIDTH + 2} ${height}" width="${WIDTH + 2}" height="${height}">${parts.join('')}</svg></div><p class="legend" aria-hidden="true">One square a port, in the order of the racks. ${told}${endings(matrix)}</p>`,
  };
}

/** What would end access alone: on a mosaic there is no place to mark it. */
function endings({ groups }: Matrix): string {
  const points = groups.flatMap(({ singlePoints }) => singlePoints);
  const unique = [...new Map(points.map((point) => [`${point.kind} ${point.name}`, point])).values()];
  return unique.length === 0 ? '' : ` · would end access alone: ${text(singlePointWords(unique, 5), 300)}.`;
}

function panelMarkup({ title, rows }: Panel, x: number, y: number, { square, name, columns }: Size): string {
  let top = y + HEAD;
  const lines = rows.map(({ device, endpoints }) => {
    const at = top;
    top += Math.ceil(endpoints.length / columns) * square;
    const label =
      name === 0
        ? ''
        : `<text class="port" x="${x}" y="${at + square - 2}">${text(cut(device, Math.floor(name / 5.6)), 60)}</text>`;
    const squares = endpoints.map(({ verdict }, index) =>
      squareMarkup(
        verdict,
        x + name + (index % columns) * square,
        at + Math.floor(index / columns) * square,
        square,
      ),
    );
    return `<g><title>${text(device, 90)}</title>${label}${squares.join('')}</g>`;
  });
  const head =
    title === '' ? '' : `<text class="name" x="${x}" y="${y + 10}">${text(cut(title, 16), 40)}</text>`;
  return head + lines.join('');
}

/** Differs is full, missing is crossed, unproven is broken round the edge: they stay apart without colour. */
function squareMarkup(verdict: EndpointVerdict, x: number, y: number, square: number): string {
  const side = square - 1.5;
  const cross = verdict === 'missing' ? crossMarkup(x, y, side) : '';
  return `<rect class="cell ${MARK_CLASS[verdict]}" x="${x}" y="${y}" width="${side}" height="${side}"/>${cross}`;
}

function crossMarkup(x: number, y: number, side: number): string {
  return `<path class="cross" d="M${x} ${y}l${side} ${side}M${x + side} ${y}l-${side} ${side}"/>`;
}
