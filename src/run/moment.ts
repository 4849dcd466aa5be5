/**
 * Where the time of a run goes: moments on Node's own timeline, which `npm run bench` reads (tests/bench/moments.mjs). Nothing in the
 * program reads them back.
 */
const MOMENTS = [
  'plan read',
  'vantage known',
  'first question',
  'last first answer',
  'presence settled',
  'all asked',
  'tables read',
  'judged',
  'written',
] as const;
export type Moment = (typeof MOMENTS)[number];

/** `startTime`: milliseconds of `performance.now()`, where it was before now. */
export function moment(name: Moment, startTime?: number): void {
  // Of many looks the last: Node keeps every mark.
  performance.clearMarks(`matchmark: ${name}`);
  performance.mark(`matchmark: ${name}`, startTime === undefined ? {} : { startTime });
}
