/** Is a row of the neighbour table an answer to a question of this run, or left from before? Pure. */
import type { TableRow } from '../system/types.js';

/** A row as it stood before the question, with the clock at that reading. */
export interface Before {
  readonly row: TableRow;
  readonly atMs: number;
}

/**
 * True where the row proves that its MAC answered after `askedAtMs`:
 * it had no MAC before; the MAC is another; it was stale and is confirmed; or the moment of its proof lies after the question.
 * A table that tells no ages and no states (macOS, /proc/net/arp, Windows without PowerShell: `held`) can not prove a row that was there before.
 */
export function isFresh(row: TableRow, atMs: number, before: Before | undefined, askedAtMs: number): boolean {
  if (row.mac === undefined || row.state === 'failed' || row.state === 'incomplete') return false;
  if (before === undefined || before.row.mac === undefined) return true;
  if (before.row.mac !== row.mac) return true;
  if (before.row.state === 'stale' && row.state === 'present') return true;
  // Ages are cut to whole seconds: the proof is between one second earlier and the moment told.
  return row.confirmedAgoS !== undefined && atMs - (row.confirmedAgoS + 1) * 1000 >= askedAtMs;
}

/** A row with a MAC that a kernel goes on using without asking anybody. */
export function isOldEntry(row: TableRow | undefined): boolean {
  return row?.mac !== undefined && (row.state === 'present' || row.state === 'held' || row.state === 'stale');
}
