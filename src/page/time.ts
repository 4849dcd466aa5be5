/** Times as the reader's watch showed them: local to the place that was looked from, with its distance to UTC. */
import { text } from './markup.js';

const ISO = /^(\d{4}-\d\d-\d\d)T(\d\d:\d\d:\d\d)(?:\.\d+)?Z$/;

/** `2030-01-02 04:04 UTC+01:00`; text that is no ISO time stays as it is. Minutes ahead of UTC. */
export function time(iso: string, zoneMinutes = 0): string {
  const local = localOf(iso, zoneMinutes);
  return local === undefined
    ? text(iso)
    : `<time datetime="${text(iso)}">${local.day} ${local.minute} ${zoneName(zoneMinutes)}</time>`;
}

/** Two times; day and zone are said once where they are the same. */
export function timeSpan(from: string, to: string, zoneMinutes = 0): string {
  const [start, end] = [localOf(from, zoneMinutes), localOf(to, zoneMinutes)];
  if (start === undefined || end === undefined || start.day !== end.day)
    return `${time(from, zoneMinutes)} to ${time(to, zoneMinutes)}`;
  if (start.minute === end.minute) return time(from, zoneMinutes);
  return `<time datetime="${text(from)}">${start.day} ${start.minute}</time> to ${end.minute} ${zoneName(zoneMinutes)}`;
}

/** `UTC`, `UTC+01:00`, `UTC-03:30` (ISO 8601-1 §5.3.4.1 writes the difference so). */
export function zoneName(zoneMinutes: number): string {
  if (zoneMinutes === 0) return 'UTC';
  const minutes = Math.abs(Math.round(zoneMinutes));
  const two = (part: number): string => String(part).padStart(2, '0');
  return `UTC${zoneMinutes < 0 ? '-' : '+'}${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`;
}

interface Local {
  readonly day: string;
  readonly minute: string;
}

function localOf(iso: string, zoneMinutes: number): Local | undefined {
  const at = ISO.test(iso) ? Date.parse(iso) : Number.NaN;
  if (Number.isNaN(at) || !Number.isFinite(zoneMinutes) || Math.abs(zoneMinutes) > 24 * 60) return undefined;
  const [day = '', clock = ''] = new Date(at + zoneMinutes * 60_000).toISOString().split('T');
  return { day, minute: clock.slice(0, 5) };
}
