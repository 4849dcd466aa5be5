import type { NetworkCapacity } from '../result/matrix.js';
import { cleanText } from '../text/clean.js';
import { ink, plain, type TextStyle } from './style.js';
import { padTo, widthOf } from './wrap.js';

const HEADS = ['Network', 'Range', 'Usable', 'Planned', 'Reserved', 'Left'] as const;

/** Addresses left in each network, as a table that is never wider than it must be. */
export function renderCapacity(capacity: readonly NetworkCapacity[], style: TextStyle): string {
  if (capacity.length === 0) return '';
  const rows = capacity.map(({ network, cidr, usable, planned, reserved, left }) => [
    plain(style, cleanText(network, 40)),
    cleanText(cidr, 60),
    ...[usable, planned, reserved, left].map(String),
  ]);
  const widths = HEADS.map((head, index) =>
    Math.max(head.length, ...rows.map((row) => widthOf(row[index] ?? ''))),
  );
  const line = (cells: readonly string[]): string =>
    cells
      .map((cell, index) => (index < 2 ? padTo(cell, widths[index] ?? 0) : cell.padStart(widths[index] ?? 0)))
      .join('  ')
      .trimEnd();
  return `${ink(style, 'Addresses left', 'bold')}\n${[HEADS, ...rows].map((row) => `  ${line(row)}\n`).join('')}`;
}
