/** Which findings are new, cleared, or the same matter told differently. */

import type { Finding } from '../findings/index.js';
import { orderFindings } from '../findings/order.js';
import type { Comparison } from './types.js';

/**
 * A finding is the same where code, subject and words are; next, where only counts in its words differ. Results of two versions of
 * the program may say one matter in other words: there code and subject are enough.
 */
export function compareFindings(
  before: readonly Finding[],
  now: readonly Finding[],
  sameVersion: boolean,
): Comparison['findings'] {
  const keys = [exact, masked, ...(sameVersion ? [] : [matter])];
  const pairs: { before: Finding; now: Finding }[] = [];
  let [old, fresh] = [[...before], [...now]];
  for (const key of keys) {
    const waiting = new Map<string, Finding[]>();
    for (const one of old) waiting.set(key(one), [...(waiting.get(key(one)) ?? []), one]);
    fresh = fresh.filter((one) => {
      const match = waiting.get(key(one))?.shift();
      if (match === undefined) return true;
      pairs.push({ before: match, now: one });
      return false;
    });
    old = [...waiting.values()].flat();
  }
  const changed = pairs.filter(
    (pair) =>
      pair.before.severity !== pair.now.severity || (sameVersion && pair.before.message !== pair.now.message),
  );
  const order = orderFindings(changed.map((pair) => pair.now));
  return {
    new: orderFindings(fresh),
    cleared: orderFindings(old),
    changed: changed.sort((a, b) => order.indexOf(a.now) - order.indexOf(b.now)),
  };
}

/** A stop or fix that was not there, or was a lesser one. */
export function isWorse({ new: fresh, changed }: Comparison['findings']): boolean {
  return (
    fresh.some(({ severity }) => severity !== 'note') ||
    changed.some(({ before, now }) => RANK[now.severity] > RANK[before.severity])
  );
}

const RANK = { note: 0, fix: 1, stop: 2 } as const;

function matter({ code, subject }: Finding): string {
  return JSON.stringify([code, subject]);
}

function exact({ code, subject, message }: Finding): string {
  return JSON.stringify([code, subject, message]);
}

/** Counts stand alone; the digits of an address, a MAC, a port or a speed are part of a name. */
const COUNTS = /(?<=^|[\s(])\d+(?:\.\d+)?(?=[,;:.)%]*(?:\s|$))/g;

function masked({ code, subject, message }: Finding): string {
  return JSON.stringify([code, subject, message.replace(COUNTS, '#')]);
}
