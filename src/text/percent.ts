/** Availabilities as people read them. */

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

/** `as planned 99.9990%, as found 99.910%`. */
export function availabilityWords(stated: {
  readonly planned: number;
  readonly found?: number | undefined;
}): string {
  const found = stated.found === undefined ? '' : `, as found ${availabilityText(stated.found)}`;
  return `as planned ${availabilityText(stated.planned)}${found}`;
}
