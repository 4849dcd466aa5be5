/** Availabilities as people read them. */
import { count } from './sentence.js';

/** Decimals of a percentage: at least these, and beyond the last the arithmetic of a computer has no more to say. */
const FEWEST = 2;
const MOST = 10;

/**
 * An availability from 0 to 1 as a percentage, with two digits of what is lacking to 100, so that nothing below 100 % ever reads as 100 %:
 * `99.9990%`, `99.99999950%`.
 */
export function availabilityText(value: number): string {
  const lacking = Number(((1 - value) * 100).toPrecision(2));
  if (lacking <= 0) return '100%';
  const decimals = Math.max(FEWEST, 1 - Math.floor(Math.log10(lacking)));
  if (decimals > MOST) return `over 99.${'9'.repeat(MOST - 1)}%`;
  return `${(value * 100).toFixed(decimals)}%`;
}

const SECONDS_A_YEAR = 365.25 * 24 * 3600;
/** Seconds of a unit, and from how many of them on it is used. */
const UNITS = [
  ['day', 86_400, 2],
  ['hour', 3600, 2],
  ['minute', 60, 1],
  ['second', 1, 1],
] as const;

/** What is lacking to 1 as people feel it: `5 minutes a year`, `26 hours a year`, `under a second a year`. */
export function downtimeWords(value: number): string {
  const seconds = (1 - value) * SECONDS_A_YEAR;
  const unit = UNITS.find(([, long, least]) => seconds >= long * least);
  return `${unit === undefined ? 'under a second' : count(Math.round(seconds / unit[1]), unit[0])} a year`;
}

/** `as planned 99.9990% (without access 5 minutes a year), as found 99.910% (8 hours a year)`. */
export function availabilityWords(stated: {
  readonly planned: number;
  readonly found?: number | undefined;
}): string {
  const found =
    stated.found === undefined
      ? ''
      : `, as found ${availabilityText(stated.found)} (${downtimeWords(stated.found)})`;
  return `as planned ${availabilityText(stated.planned)} (without access ${downtimeWords(stated.planned)})${found}`;
}
