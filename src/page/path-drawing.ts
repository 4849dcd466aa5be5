/** A redundancy group as an SVG drawing. Line style tells live, dead and unproven apart; no colour is needed to read it. */
import type { GroupResult } from '../result/matrix.js';
import { list } from '../text/sentence.js';
import { text } from './markup.js';
import { type Edge, type Layout, layOut, type Node, type Surroundings } from './path-layout.js';

const NODE = { width: 196, height: 44, rowGap: 20, columnGap: 96 } as const;
const MARGIN = { top: 12, side: 8, bottom: 14 } as const;
const NAME_CHARACTERS = 27;
const UNDER_CHARACTERS = 31;
const SINGLE_TAG = 16;

interface Point {
  readonly x: number;
  readonly y: number;
}

export function pathDrawing(group: GroupResult, number: number, around: Surroundings): string {
  const layout = layOut(group, around);
  const width = layout.columns * NODE.width + (layout.columns - 1) * NODE.columnGap + 2 * MARGIN.side;
  const rowHeight = NODE.height + NODE.rowGap;
  const extra = layout.unplaced.length > 0 ? 24 : 0;
  const height = layout.rows * rowHeight - NODE.rowGap + MARGIN.top + MARGIN.bottom + SINGLE_TAG + extra;
  const place = placer(layout, rowHeight);
  const lines = layout.edges.map((edge) => lineMarkup(edge, layout, place)).join('');
  const nodes = layout.nodes.map((node) => nodeMarkup(node, place(node))).join('');
  const unplaced =
    layout.unplaced.length > 0
      ? `<text class="single" x="${MARGIN.side}" y="${height - 8}">Single point: ${text(list(layout.unplaced.map(({ kind, name }) => `${kind} ${name}`)), 90)}</text>`
      : '';
  return `<svg class="paths" role="img" aria-labelledby="gt${number} gd${number}" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}"><title id="gt${number}">Paths of ${text(group.name, 80)}</title><desc id="gd${number}">${text(describe(group), 900)}</desc>${lines}${nodes}${unplaced}</svg>`;
}

/** The drawing in words, for those who do not see it. */
export function describe(group: GroupResult): string {
  const states = (['live', 'dead', 'unproven'] as const)
    .map((state) => ({ state, amount: group.paths.filter((path) => path.state === state).length }))
    .filter(({ amount }) => amount > 0)
    .map(({ state, amount }) => `${amount} ${state}`);
  const singles = group.singlePoints.map(({ kind, name }) => `${kind} ${name}`);
  const ways = group.paths
    .slice(0, 8)
    .map((path) => `${path.id} is ${path.state}${via(path.things)}`)
    .join('; ');
  return `${group.paths.length} paths, ${list(states)}; needs ${group.need}. ${
    singles.length === 0 ? 'No single point.' : `Single points: ${list(singles)}.`
  } ${ways}.`;
}

function via(things: GroupResult['paths'][number]['things']): string {
  const switches = things.filter(({ kind }) => kind === 'switch').map(({ name }) => name);
  return switches.length === 0 ? '' : ` through ${list(switches)}`;
}

function placer(layout: Layout, rowHeight: number): (node: Node) => Point {
  const inColumn = new Map<number, number>();
  for (const { column, row } of layout.nodes)
    inColumn.set(column, Math.max(inColumn.get(column) ?? 0, row + 1));
  return ({ column, row }) => ({
    x: MARGIN.side + column * (NODE.width + NODE.columnGap),
    y: MARGIN.top + (row + (layout.rows - (inColumn.get(column) ?? 1)) / 2) * rowHeight,
  });
}

function lineMarkup({ path, through }: Edge, layout: Layout, place: (node: Node) => Point): string {
  const found = through
    .map((key) => layout.nodes.find((node) => node.key === key))
    .filter((node) => node !== undefined);
  const spots = found.map(place);
  const middle = NODE.height / 2;
  const segments = spots.slice(1).map((spot, index) => {
    const from = spots[index] ?? spot;
    const [x1, y1, x2, y2] = [from.x + NODE.width, from.y + middle, spot.x, spot.y + middle];
    const bend = (x2 - x1) / 2;
    return `M${x1} ${y1}C${x1 + bend} ${y1} ${x2 - bend} ${y2} ${x2} ${y2}`;
  });
  const before = spots.at(-2);
  const end = spots.at(-1);
  // The sign stands close to the port, where lines of one switch have parted.
  const sign =
    path.state === 'live' || before === undefined || end === undefined
      ? ''
      : `<text class="sign ${path.state}" x="${end.x - 14}" y="${end.y + middle + 5}">${path.state === 'dead' ? '×' : '?'}</text>`;
  return `<g><title>${text(`${path.id}: ${path.state}${path.why === undefined ? '' : `, ${path.why}`}`, 200)}</title><path class="line ${path.state}" d="${segments.join('')}"/>${sign}</g>`;
}

function nodeMarkup(node: Node, { x, y }: Point): string {
  const { width, height } = NODE;
  const ring = node.single
    ? `<rect class="ring" x="${x - 4}" y="${y - 4}" width="${width + 8}" height="${height + 8}" rx="2"/><text class="single" x="${x}" y="${y + height + SINGLE_TAG}">single point</text>`
    : '';
  return `<g><title>${text(`${node.kind} ${node.name}`, 200)}</title>${ring}<rect class="node ${node.kind === 'port' ? 'end' : ''}" x="${x}" y="${y}" width="${width}" height="${height}"/><text class="name" x="${x + 8}" y="${y + 18}">${text(shorten(node.name, NAME_CHARACTERS), 200)}</text><text class="under" x="${x + 8}" y="${y + 35}">${text(shorten(node.under, UNDER_CHARACTERS), 200)}</text></g>`;
}

/** Keeps both ends of a long name: ports differ at their ends. */
function shorten(name: string, characters: number): string {
  const letters = [...name];
  if (letters.length <= characters) return name;
  const head = Math.ceil((characters - 1) / 2);
  return `${letters.slice(0, head).join('')}…${letters.slice(letters.length - (characters - 1 - head)).join('')}`;
}
