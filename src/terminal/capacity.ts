import type { NetworkCapacity } from '../matrix/matrix.js';
import { amountWords } from '../text/amount.js';
import { cleanText } from '../text/clean.js';
import { ink, plain, type TextStyle } from './style.js';
import { columns } from './wrap.js';

const HEADS = ['Network', 'Range', 'Usable', 'Planned', 'Reserved', 'Left'] as const;

/** Addresses left in each network, as a table that is never wider than it must be. */
export function renderCapacity(capacity: readonly NetworkCapacity[], style: TextStyle): string {
  if (capacity.length === 0) return '';
  const rows = capacity.map(({ network, cidr, usable, planned, reserved, left }) => [
    plain(style, cleanText(network, 40)),
    cleanText(cidr, 60),
    ...[usable, planned, reserved, left].map(amountWords),
  ]);
  return `${ink(style, 'Addresses left', 'bold')}\n${columns(HEADS, rows, 2)}`;
}
