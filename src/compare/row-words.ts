/** Rows of a comparison: devices, cables, groups, and what devices tell. */
import { cleanText } from '../text/clean.js';
import { GROUP_MARKS } from '../text/marks.js';
import { inWords, list, plural } from '../text/sentence.js';
import type { ComparedRow } from './section.js';
import type { CableMove, Exchange, GroupChange, ToldChange } from './types.js';

/** Longest text of a device that is shown; the JSON has all of it. */
const TOLD_LIMIT = 120;
/** Eight octets tell two certificates apart for eyes. */
const FINGERPRINT_SHOWN = 23;

const EXTENT: Readonly<Record<Exchange['extent'], string>> = {
  whole: 'another device is here now',
  part: 'a part of it is another one',
  traded: 'it stood elsewhere before',
};

export function exchangeRow({ device, controller, mark, extent, from, before, now }: Exchange): ComparedRow {
  return {
    what: `${controller === '' ? device : `${device}/${controller}`}: ${mark}`,
    before: list(before, 6),
    now: list(now, 6),
    more: from === undefined ? EXTENT[extent] : `it stood at ${from} before`,
  };
}

const CABLE_TURN: Readonly<Record<CableMove['turn'], string>> = {
  worse: 'it was as planned and is not',
  'no-longer-proven': 'could not be tested now',
  'found-wrong': 'not as planned',
  'now-proven': 'as planned',
  better: 'as planned now, and was not before',
  otherwise: 'compared with the plan, nothing changed',
  unplanned: 'the plan names no switch port for it',
};

export function cableRow({ endpoint, before, now, swappedWith, turn }: CableMove): ComparedRow {
  const swap = swappedWith === undefined ? '' : `; swapped with ${swappedWith}`;
  return { what: endpoint, before, now, more: `${CABLE_TURN[turn]}${swap}`, worse: turn === 'worse' };
}

export function groupRow({
  name,
  before,
  now,
  newSinglePoints,
  goneSinglePoints,
  worse,
}: GroupChange): ComparedRow {
  const points = [
    pointsWords(newSinglePoints, 'new single point', 'new single points'),
    pointsWords(goneSinglePoints, 'no longer a single point', 'no longer single points'),
  ];
  return {
    what: name,
    before: GROUP_MARKS[before].word,
    now: GROUP_MARKS[now].word,
    ...(points.every((part) => part === '') ? {} : { more: points.filter((part) => part !== '').join('; ') }),
    worse,
  };
}

function pointsWords(points: GroupChange['newSinglePoints'], one: string, many: string): string {
  const names = points.map(({ kind, name }) => `${inWords(kind)} ${name}`);
  return names.length === 0 ? '' : `${plural(names.length, one, many)}: ${list(names, 6)}`;
}

export function toldRow({ device, controller, endpoints, what, before, now }: ToldChange): ComparedRow {
  const place =
    endpoints.length === 1 ? (endpoints[0] ?? '') : controller === '' ? device : `${device}/${controller}`;
  // In quotes: what a device says of itself may read like a sentence of ours.
  const shown = (text: string) =>
    what === 'certificate fingerprint' && text.length > FINGERPRINT_SHOWN
      ? `"${text.slice(0, FINGERPRINT_SHOWN)}…"`
      : `"${cleanText(text, TOLD_LIMIT)}"`;
  return {
    what: `${place}: ${what}`,
    before: shown(before),
    now: shown(now),
    ...(endpoints.length === 1 ? {} : { more: `told at ${list(endpoints, 4)}` }),
  };
}
