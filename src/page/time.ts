/** Times of the page as markup: a program finds the exact one in `datetime`. */
import { localTime, timeWords, zoneName } from '../text/time.js';
import { text } from './markup.js';

/** Text that is no ISO time stays text. Minutes ahead of UTC. */
export function time(iso: string, zoneMinutes = 0): string {
  return localTime(iso, zoneMinutes) === undefined
    ? text(iso)
    : `<time datetime="${text(iso)}">${timeWords(iso, zoneMinutes)}</time>`;
}

/** Two times; day and zone are said once where they are the same. */
export function timeSpan(from: string, to: string, zoneMinutes = 0): string {
  const [start, end] = [localTime(from, zoneMinutes), localTime(to, zoneMinutes)];
  if (start === undefined || end === undefined || start.day !== end.day)
    return `${time(from, zoneMinutes)} to ${time(to, zoneMinutes)}`;
  if (start.minute === end.minute) return time(from, zoneMinutes);
  return `<time datetime="${text(from)}">${start.day} ${start.minute}</time> to ${end.minute} ${zoneName(zoneMinutes)}`;
}
