/**
 * The site as one drawing: lanes lie across, every cable leads straight to its lane, a dot is a joint and a crossing is none (the habit of
 * IEC 61082-1). The style of a line tells works, broken and unproven apart; no colour is needed to read it.
 */

import { MARKS, PATH_MARKS } from '../text/marks.js';
import { MARK_CLASS } from './mark-class.js';
import { text } from './markup.js';
import {
  type DeviceBlock,
  type Lane,
  laneKey,
  type PathState,
  type PortCell,
  SITE,
  type SiteLayout,
  type Strip,
} from './site-layout.js';

const LANE = 25;
const CELL = 28;
const NAME = 14;
const FEED = 15;
const AIR = 12;
/** Characters that a cell, a lane's head and a device's name hold. */
const PORT_CHARACTERS = 8;
const LANE_CHARACTERS = 19;

/** Height of the drawing in its own units, so that the sheet knows whether it fits. */
export function siteHeight({ strips, feeds }: SiteLayout): number {
  return strips.reduce((sum, strip) => sum + geometryOf(strip, feeds).height + AIR, 0);
}

export function siteDrawing(layout: SiteLayout, site: string): string {
  const drawn = layout.strips.map((strip, index) => stripMarkup(strip, layout.feeds, index));
  const parts = drawn.length > 1 ? ` in ${drawn.length} parts` : '';
  return `<div class="site" role="img" aria-label="Drawing of ${text(site, 120)}${parts}; the list after it says the same in words">${drawn.join('')}</div>${LEGEND}`;
}

const LEGEND = `<p class="legend" aria-hidden="true"><svg class="key" width="34" height="10"><path class="line live" d="M1 5H33"/></svg> ${PATH_MARKS.live.word} <svg class="key" width="34" height="10"><path class="line dead" d="M1 5H33"/></svg> ${PATH_MARKS.dead.sign} ${PATH_MARKS.dead.word} <svg class="key" width="34" height="10"><path class="line unproven" d="M1 5H33"/></svg> ${PATH_MARKS.unproven.sign} ${PATH_MARKS.unproven.word} <span class="ringed">double frame</span> its loss alone would end access · number in a port: its job</p>`;

interface Geometry {
  readonly height: number;
  readonly topCells: number;
  readonly lanes: number;
  readonly bottomCells: number;
  readonly anyHost: boolean;
  readonly feedsAbove: number;
  readonly feedsBelow: number;
}

function geometryOf({ top, bottom, lanes }: Strip, feeds: readonly string[]): Geometry {
  const anyHost = top.length === 0 && lanes.some((lane) => lane.anyHost !== undefined);
  const head = (some: readonly DeviceBlock[]): number =>
    some.length === 0 ? 0 : NAME + (some.some(hasControllers) ? NAME : 0) + CELL;
  const feedRoom = feeds.length === 0 ? 0 : feeds.length * FEED + 4;
  const feedsAbove = top.length === 0 ? 0 : feedRoom;
  const feedsBelow = bottom.length === 0 ? 0 : feedRoom;
  const topHeight = 2 + feedsAbove + (anyHost ? CELL : head(top));
  const lanesAt = topHeight + 4;
  const lanesEnd = lanesAt + lanes.length * LANE + 12;
  return {
    height: lanesEnd + head(bottom) + feedsBelow + 6,
    topCells: topHeight - CELL,
    lanes: lanesAt,
    bottomCells: lanesEnd,
    anyHost,
    feedsAbove,
    feedsBelow,
  };
}

function hasControllers({ controllers }: DeviceBlock): boolean {
  return controllers.some(({ name }) => name !== '');
}

function stripMarkup(strip: Strip, feeds: readonly string[], index: number): string {
  const place = geometryOf(strip, feeds);
  const laneY = new Map(strip.lanes.map((lane, row) => [laneKey(lane), place.lanes + (row + 0.5) * LANE]));
  const free = channels();
  const tapsOf = (devices: readonly DeviceBlock[], from: number): string[] =>
    devices.flatMap((device) => cellsOf(device).map((cell) => tap(cell, from, laneY, free)));
  const taps = [
    ...tapsOf(strip.bottom, place.bottomCells),
    ...tapsOf(strip.top, place.topCells + CELL),
    ...(place.anyHost ? anyHostTaps(strip.lanes, place.topCells + CELL, laneY) : []),
  ].join('');
  const any = place.anyHost
    ? `<rect class="node end" x="${SITE.gutter}" y="${place.topCells}" width="${ANY_HOST_WIDTH}" height="${CELL - 4}"/><text class="name" x="${SITE.gutter + 8}" y="${place.topCells + 17}">Any host</text>`
    : '';
  const height = place.height;
  return `<svg class="strip" aria-hidden="true" viewBox="0 0 ${SITE.width + 2} ${height}" width="${SITE.width + 2}" height="${height}"${index === 0 ? '' : ' data-more=""'}>${strip.lanes.map((lane) => laneMarkup(lane, laneY.get(laneKey(lane)) ?? 0)).join('')}${taps}${any}${strip.top.map((device) => deviceMarkup(device, place.topCells, 'above')).join('')}${strip.bottom.map((device) => deviceMarkup(device, place.bottomCells, 'below')).join('')}${feedMarkup(strip.top, feeds, place.feedsAbove, 'above', place)}${feedMarkup(strip.bottom, feeds, place.feedsBelow, 'below', place)}</svg>`;
}

function cellsOf({ controllers }: DeviceBlock): readonly PortCell[] {
  return controllers.flatMap(({ cells }) => cells);
}

/** A cable: straight from the port to its lane, with a dot where it joins and a sign where it does not work. */
function tap(
  cell: PortCell,
  from: number,
  laneY: ReadonlyMap<string, number>,
  free: (middle: number) => number,
): string {
  return cell.lanes
    .map((lane) => {
      const y = laneY.get(laneKey(lane));
      return y === undefined ? '' : line(free(cell.x + SITE.cell / 2), from, y, cell.state);
    })
    .join('');
}

/** Two cables never lie on each other: the next one takes the place beside the middle of its port that is furthest from all others. */
function channels(): (middle: number) => number {
  const taken: number[] = [];
  return (middle) => {
    const room = (x: number): number => Math.min(CLEAR, ...taken.map((other) => Math.abs(other - x)));
    const places = [0, -10, 10, -20, 20].map((offset) => middle + offset);
    const best = places.reduce((a, b) => (room(b) > room(a) ? b : a));
    taken.push(best);
    return best;
  };
}

/** Cables this far apart are told apart. */
const CLEAR = 9;

function line(x: number, from: number, to: number, state: PathState): string {
  const sign = state === 'live' ? '' : signMarkup(x, from + (to > from ? 12 : -4), state);
  return `<path class="line ${state}" d="M${x} ${from}V${to}"/><circle class="joint ${state}" cx="${x}" cy="${to}" r="3"/>${sign}`;
}

function signMarkup(x: number, y: number, state: PathState): string {
  return `<text class="sign ${state}" x="${x}" y="${y}">${PATH_MARKS[state].sign}</text>`;
}

const ANY_HOST_WIDTH = 300;

function anyHostTaps(lanes: readonly Lane[], from: number, laneY: ReadonlyMap<string, number>): string[] {
  const used = lanes.filter((lane) => lane.anyHost !== undefined);
  const step = (ANY_HOST_WIDTH - 100) / Math.max(1, used.length);
  return used.map((lane, index) =>
    line(
      SITE.gutter + 95 + (index + 0.5) * step,
      from - 4,
      laneY.get(laneKey(lane)) ?? from,
      lane.anyHost ?? 'unproven',
    ),
  );
}

function laneMarkup({ name, kind, under, endsAccess }: Lane, y: number): string {
  const label = cut(name, LANE_CHARACTERS);
  const below = kind === 'switch' && under !== '' ? cut(under, LANE_CHARACTERS + 4) : under;
  const ring = endsAccess ? doubleFrame(2, y - 11.5, SITE.gutter - 12, 23) : '';
  return `<g><title>${text(`${kind} ${name}${under === '' || kind === 'network' ? '' : `, ${under}`}`, 200)}</title><path class="lane ${kind}" d="M${SITE.gutter - 6} ${y}H${SITE.width}"/>${ring}<text class="name" x="7" y="${y - 1.5}">${text(label, 100)}</text><text class="under" x="7" y="${y + 7}">${text(below, 120)}</text></g>`;
}

function deviceMarkup(device: DeviceBlock, cellsAt: number, side: 'above' | 'below'): string {
  const controllers = hasControllers(device);
  const height = CELL + NAME + (controllers ? NAME : 0);
  const top = side === 'above' ? cellsAt - (height - CELL) : cellsAt;
  const nameY = side === 'above' ? top + 10 : top + height - 4;
  const frame = `<rect class="device" x="${device.x}" y="${top}" width="${device.width}" height="${height}"/>`;
  const ring = device.endsAccess ? doubleFrame(device.x - 2, top - 2, device.width + 4, height + 4) : '';
  const letters = Math.max(6, Math.floor((device.width - 6) / SITE.letter));
  const parts = device.controllers
    .map((one) => {
      const labelY = side === 'above' ? cellsAt - 4 : cellsAt + CELL + 10;
      const label =
        one.name === ''
          ? ''
          : `<text class="under" x="${one.x + 4}" y="${labelY}">${text(cut(one.name, Math.floor(one.width / 6)), 80)}</text>`;
      const single = one.endsAccess
        ? doubleFrame(one.x, side === 'above' ? cellsAt - NAME : cellsAt, one.width, CELL + NAME)
        : '';
      return label + one.cells.map((cell) => cellMarkup(cell, cellsAt)).join('') + single;
    })
    .join('');
  return `<g><title>${text(device.name, 90)}</title>${frame}${ring}${parts}<text class="name" x="${device.x + 4}" y="${nameY}">${text(cut(device.name, letters), 100)}</text></g>`;
}

function cellMarkup({ endpoint, verdict, x, job, endsAccess }: PortCell, y: number): string {
  const { sign, word } = MARKS[verdict];
  const number = job === undefined ? '' : String(job);
  const letters = Math.max(3, PORT_CHARACTERS - (number === '' ? 0 : number.length + 1));
  const ring = endsAccess ? doubleFrame(x, y, SITE.cell, CELL) : '';
  const told =
    number === '' ? '' : `<text class="job" x="${x + SITE.cell - 4}" y="${y + 12}">${number}</text>`;
  return `<g><title>${text(endpoint.id, 120)}: ${word}</title><rect class="cell ${MARK_CLASS[verdict]}" x="${x}" y="${y}" width="${SITE.cell}" height="${CELL}"/>${ring}<text class="port" x="${x + 5}" y="${y + 12.5}">${text(cut(endpoint.port, letters), 60)}</text>${told}<text class="word ${MARK_CLASS[verdict]}" x="${x + 5}" y="${y + 23}">${sign} ${word}</text></g>`;
}

/** Feeds that decide: a line each, with a tap to every device that hangs on it. */
function feedMarkup(
  devices: readonly DeviceBlock[],
  feeds: readonly string[],
  room: number,
  side: 'above' | 'below',
  { topCells, height }: Geometry,
): string {
  if (room === 0) return '';
  return feeds
    .map((feed, index) => {
      const y = side === 'above' ? (index + 0.6) * FEED : height - 6 - room + (index + 0.8) * FEED;
      const taps = devices
        .filter((device) => device.feeds.includes(feed))
        .map((device) => {
          const tall = CELL + NAME + (hasControllers(device) ? NAME : 0);
          const from =
            side === 'above' ? topCells + CELL - tall : height - 6 - room - (tallest(devices) - tall);
          const x = device.x + device.width - 8 - index * 8;
          return `<path class="line feed" d="M${x} ${from}V${y}"/><circle class="joint" cx="${x}" cy="${y}" r="2.5"/>`;
        })
        .join('');
      return `<g><path class="lane feed" d="M${SITE.gutter - 6} ${y}H${SITE.width}"/>${doubleFrame(2, y - 7, SITE.gutter - 12, 14)}<text class="name" x="6" y="${y + 4}">feed ${text(feed, 30)}</text>${taps}</g>`;
    })
    .join('');
}

function tallest(devices: readonly DeviceBlock[]): number {
  return CELL + NAME + (devices.some(hasControllers) ? NAME : 0);
}

/** What would end access alone stands in two frames: without colour, too, nothing else does. */
function doubleFrame(x: number, y: number, width: number, height: number): string {
  const frame = (by: number): string =>
    `<rect class="ring" x="${x + by}" y="${y + by}" width="${width - 2 * by}" height="${height - 2 * by}"/>`;
  return frame(0) + frame(2.3);
}

/** Keeps both ends of a long name: ports differ at their ends. */
export function cut(name: string, characters: number): string {
  const letters = [...name];
  if (letters.length <= characters) return name;
  const head = Math.ceil((characters - 1) / 2);
  return `${letters.slice(0, head).join('')}…${letters.slice(letters.length - (characters - 1 - head)).join('')}`;
}
