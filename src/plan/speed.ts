/** Link speeds as people write them, in Mb/s (decimal, as IEEE 802.3 names them: 10GBASE is 10 000 Mb/s). */

export type SpeedReading =
  | { readonly kind: 'speed'; readonly mbps: number }
  | { readonly kind: 'two-meanings'; readonly meanings: readonly [string, string] }
  | { readonly kind: 'none' };

/** 1.6 Tb/s, the fastest Ethernet rate in work (IEEE P802.3dj), in Mb/s. */
const FASTEST_MBPS = 1_600_000;

const WITH_UNIT = /^(\d+(?:[.,]\d+)?)\s*([kmgt])\s*(.*)$/i;
/** What may follow the prefix letter: b, bit, b/s, bps, bit/s, bE, Ethernet, BASE-x, FC. */
const TAIL = /^(b|bits?|bps|bits?ps|b\/s|bits?\/s|bits?\/sec|e|be|base-?[a-z0-9-]*|fc|\s*fc|ethernet)?$/i;
const BYTES = /^B(ps|\/s|\/sec|yte.*)?$/;
const FACTOR: Readonly<Record<string, number>> = { k: 0.001, m: 1, g: 1000, t: 1_000_000 };

/** `10G`, `10 Gb/s`, `10GbE`, `10000`, `25 Gbit/s`, `1000M`, `2.5G`, `16GFC`, `10GBASE-SR`; a bare number counts Mb/s. */
export function readSpeed(text: string): SpeedReading {
  const trimmed = text.trim();
  const bare = /^(\d{1,9})(?:\.0+)?$/.exec(trimmed);
  if (bare) return bareNumber(Number(bare[1]));
  const base = /^(10|100|1000|2500|5000)BASE-?[A-Z0-9-]*$/i.exec(trimmed);
  if (base) return speed(Number(base[1]));
  const match = WITH_UNIT.exec(trimmed);
  if (!match) return { kind: 'none' };
  const [, digits = '', letter = '', tail = ''] = match;
  const number = Number(digits.replace(',', '.'));
  if (BYTES.test(tail)) {
    const unit = letter.toUpperCase();
    return { kind: 'two-meanings', meanings: [`${number}${unit}`, `${number * 8}${unit}`] };
  }
  if (!TAIL.test(tail)) return { kind: 'none' };
  return speed(number * (FACTOR[letter.toLowerCase()] ?? Number.NaN));
}

/** Mb/s, or undefined where the text has no meaning or two. */
export function parseSpeed(text: string): number | undefined {
  const reading = readSpeed(text);
  return reading.kind === 'speed' ? reading.mbps : undefined;
}

/** `10G`, `2.5G`, `100M`. */
export function formatSpeed(mbps: number): string {
  if (mbps >= 1_000_000) return `${trimNumber(mbps / 1_000_000)}T`;
  return mbps >= 1000 ? `${trimNumber(mbps / 1000)}G` : `${trimNumber(mbps)}M`;
}

/** Below 1000 a bare number may count megabits or gigabits: 100 is an old copper port or a new optical one. */
function bareNumber(number: number): SpeedReading {
  if (number > 0 && number < 1000) return { kind: 'two-meanings', meanings: [`${number}M`, `${number}G`] };
  return speed(number);
}

function speed(mbps: number): SpeedReading {
  return mbps > 0 && mbps <= FASTEST_MBPS ? { kind: 'speed', mbps } : { kind: 'none' };
}

function trimNumber(number: number): string {
  return String(Math.round(number * 1000) / 1000);
}
