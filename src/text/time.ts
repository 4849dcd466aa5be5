/** Times as the reader's watch showed them: local to the place that was looked from, with its distance to UTC. Minutes are enough for people. */

const ISO = /^(\d{4}-\d\d-\d\d)T(\d\d:\d\d:\d\d)(?:\.\d+)?Z$/;

export interface LocalTime {
  readonly day: string;
  readonly minute: string;
}

/** Undefined for what is no ISO 8601 time of UTC, or a zone that no place has. `zoneMinutes` ahead of UTC. */
export function localTime(iso: string, zoneMinutes: number): LocalTime | undefined {
  const at = ISO.test(iso) ? Date.parse(iso) : Number.NaN;
  if (Number.isNaN(at) || !Number.isFinite(zoneMinutes) || Math.abs(zoneMinutes) > 24 * 60) return undefined;
  const [day = '', clock = ''] = new Date(at + zoneMinutes * 60_000).toISOString().split('T');
  return { day, minute: clock.slice(0, 5) };
}

/** `2030-01-02 04:04 UTC+01:00`; text that is no ISO time stays as it is. */
export function timeWords(iso: string, zoneMinutes = 0): string {
  const local = localTime(iso, zoneMinutes);
  return local === undefined ? iso : `${local.day} ${local.minute} ${zoneName(zoneMinutes)}`;
}

/** `UTC`, `UTC+01:00`, `UTC-03:30` (ISO 8601-1 §5.3.4.1 writes the difference so). */
export function zoneName(zoneMinutes: number): string {
  if (zoneMinutes === 0) return 'UTC';
  const minutes = Math.abs(Math.round(zoneMinutes));
  const two = (part: number): string => String(part).padStart(2, '0');
  return `UTC${zoneMinutes < 0 ? '-' : '+'}${two(Math.floor(minutes / 60))}:${two(minutes % 60)}`;
}

/** Of two times of one run the later: a look that follows another did not end before it, whatever the clock says. */
export function laterTime(one: string, other: string): string {
  return Date.parse(one) > Date.parse(other) ? one : other;
}
