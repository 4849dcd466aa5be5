/** A redundancy group as an SVG drawing with right-angled lines. Their style tells works, broken and unproven apart; no colour is needed. */

import type { GroupResult, PathResult } from '../matrix/matrix.js';
import { describeThing } from '../redundancy/things.js';
import { PATH_MARKS } from '../text/marks.js';
import { list } from '../text/sentence.js';
import { text } from './markup.js';
import { type Layout, layOut, type Node, type Surroundings } from './path-layout.js';

const NODE = { width: 196, height: 40, rowGap: 14, columnGap: 84 } as const;
const MARGIN = { top: 12, side: 8, bottom: 6 } as const;
const NAME_CHARACTERS = 27;
const UNDER_CHARACTERS = 31;
const SINGLE_TAG = 15;
/** Air below the words "single point", so that they stand with the frame above them. */
const TAG_GAP = 12;
const TITLES_SHOWN = 4;

interface Point {
  readonly x: number;
  readonly y: number;
}

export function pathDrawing(group: GroupResult, number: number, around: Surroundings): string {
  const layout = layOut(group, around);
  const width = layout.columns * NODE.width + (layout.columns - 1) * NODE.columnGap + 2 * MARGIN.side;
  const tag = layout.nodes.some(({ single }) => single) ? SINGLE_TAG : 0;
  const rowHeight = NODE.height + NODE.rowGap + (tag === 0 ? 0 : TAG_GAP);
  const extra = layout.unplaced.length > 0 ? 14 : 0;
  const height = (layout.rows - 1) * rowHeight + NODE.height + MARGIN.top + MARGIN.bottom + tag + extra;
  const place = placer(layout, rowHeight);
  const lines = segmentsOf(layout)
    .map((segment) => lineMarkup(segment, place))
    .join('');
  const nodes = layout.nodes.map((node) => nodeMarkup(node, place(node))).join('');
  const unplaced =
    layout.unplaced.length > 0
      ? `<text class="single" x="${MARGIN.side}" y="${height - 3}">Single point: ${text(list(layout.unplaced.map(describeThing)), 90)}</text>`
      : '';
  return `<svg class="paths" role="img" aria-labelledby="gt${number} gd${number}" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}"><title id="gt${number}">Paths of ${text(group.name, 80)}</title><desc id="gd${number}">${text(describe(group), 900)}</desc>${lines}${nodes}${unplaced}</svg>`;
}

/** The drawing in words, for those who do not see it. */
export function describe(group: GroupResult): string {
  const states = (['live', 'dead', 'unproven'] as const)
    .map((state) => ({ state, amount: group.paths.filter((path) => path.state === state).length }))
    .filter(({ amount }) => amount > 0)
    .map(({ state, amount }) =>
      state === 'live'
        ? `${amount} ${amount === 1 ? 'works' : 'work'}`
        : `${amount} ${PATH_MARKS[state].word}`,
    );
  const singles = group.singlePoints.map(describeThing);
  const ways = group.paths
    .slice(0, 8)
    .map((path) => `${path.id}: ${PATH_MARKS[path.state].word}${via(path.things)}`)
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

interface Segment {
  readonly from: Node;
  readonly to: Node;
  readonly state: PathResult['state'];
  readonly said: readonly string[];
}

const BEST_FIRST: readonly PathResult['state'][] = ['live', 'unproven', 'dead'];

/** Each stretch once: where a live path runs over it, it carries, whatever else would run over it. */
function segmentsOf({ edges, nodes }: Layout): readonly Segment[] {
  const byKey = new Map(nodes.map((node) => [node.key, node]));
  const segments = new Map<string, Segment>();
  for (const { path, through } of edges) {
    const ways = through.map((key) => byKey.get(key)).filter((node) => node !== undefined);
    for (const [index, to] of ways.slice(1).entries()) {
      const from = ways[index] ?? to;
      const key = `${from.key} > ${to.key}`;
      const known = segments.get(key);
      const states = known === undefined ? [path.state] : [known.state, path.state];
      const state = BEST_FIRST.find((candidate) => states.includes(candidate)) ?? 'unproven';
      const said = `${path.id}: ${PATH_MARKS[path.state].word}${path.why === undefined ? '' : `, ${path.why}`}`;
      segments.set(key, { from, to, state, said: [...(known?.said ?? []), said] });
    }
  }
  // Live ones last, so that they lie on top where lines cross.
  return [...segments.values()].sort((a, b) => BEST_FIRST.indexOf(b.state) - BEST_FIRST.indexOf(a.state));
}

const CHANNELS = 5;
const SIGN_ROOM = 24;

function lineMarkup({ from, to, state, said }: Segment, place: (node: Node) => Point): string {
  const [start, end] = [place(from), place(to)];
  const [x1, y1, x2, y2] = [start.x + NODE.width, start.y + NODE.height / 2, end.x, end.y + NODE.height / 2];
  // Each row that lines start from turns in a channel of its own, so that no two lie on each other.
  const turn = Math.round(x1 + ((from.row % CHANNELS) + 1) * ((x2 - x1 - SIGN_ROOM) / (CHANNELS + 1)));
  const sign =
    state === 'live'
      ? ''
      : `<text class="sign ${state}" x="${x2 - 14}" y="${y2 + 5}">${PATH_MARKS[state].sign}</text>`;
  const title = text(said.slice(0, TITLES_SHOWN).join('; '), 300);
  return `<g><title>${title}</title><path class="line ${state}" d="M${x1} ${y1}${y1 === y2 ? '' : `H${turn}V${y2}`}H${x2}"/>${sign}</g>`;
}

function nodeMarkup(node: Node, { x, y }: Point): string {
  const { width, height } = NODE;
  const ring = node.single
    ? `<rect class="ring" x="${x - 4}" y="${y - 4}" width="${width + 8}" height="${height + 8}"/><text class="single" x="${x}" y="${y + height + SINGLE_TAG}">single point</text>`
    : '';
  return `<g><title>${text(describeThing(node), 200)}</title>${ring}<rect class="node ${node.kind === 'port' ? 'end' : ''}" x="${x}" y="${y}" width="${width}" height="${height}"/><text class="name" x="${x + 8}" y="${y + 18}">${text(shorten(node.name, NAME_CHARACTERS), 200)}</text><text class="under" x="${x + 8}" y="${y + 35}">${text(shorten(node.under, UNDER_CHARACTERS), 200)}</text></g>`;
}

/** Keeps both ends of a long name: ports differ at their ends. */
function shorten(name: string, characters: number): string {
  const letters = [...name];
  if (letters.length <= characters) return name;
  const head = Math.ceil((characters - 1) / 2);
  return `${letters.slice(0, head).join('')}…${letters.slice(letters.length - (characters - 1 - head)).join('')}`;
}
