/** Whether what eyes saw is what was expected, by the words alone. */
import { parseSpeed } from '../plan/speed.js';
import { lampOf, lampsAgree, type Meaning } from './lamp.js';

export type { Meaning } from './lamp.js';

/** Said of anything. */
const YES = new Set([
  'ok',
  'okay',
  'yes',
  'good',
  'fine',
  'correct',
  'right',
  'done',
  'as planned',
  'as expected',
  'agrees',
]);
const NO = new Set([
  'no',
  'bad',
  'wrong',
  'incorrect',
  'not ok',
  'not okay',
  'not good',
  'not as planned',
  'not as expected',
  'differs',
]);
const FILLERS = new Set(['a', 'an', 'the', 'is', 'are', 'and', 'it']);
const NEGATIONS = new Set(['not', 'no', 'never']);

/**
 * Case, punctuation, the order of words and small words play no part; words for the same lamp or speed are the same. What cannot be told
 * is `unclear`, never a fault. `item`: what was looked at, since a link light blinks with traffic.
 */
export function meaningOf(saw: string, expect: string, item: string = ''): Meaning {
  const seen = wordsOf(saw);
  const wanted = wordsOf(expect);
  if (sameWords(seen, wanted)) return 'agrees';
  const whole = seen.join(' ');
  if (YES.has(whole)) return 'agrees';
  if (NO.has(whole)) return 'differs';
  const lamp = lampOf(seen);
  const wantedLamp = lampOf(wanted);
  if (lamp !== undefined && wantedLamp !== undefined) return lampsAgree(lamp, wantedLamp, isLink(item));
  const speed = speedIn(saw);
  const wantedSpeed = speedIn(expect);
  if (speed !== undefined && wantedSpeed !== undefined) return speed >= wantedSpeed ? 'agrees' : 'differs';
  // The same with a "not" before it.
  const [first = '', ...rest] = seen;
  if (NEGATIONS.has(first) && sameWords(rest, wanted)) return 'differs';
  return 'unclear';
}

export function isLink(item: string): boolean {
  return /\b(?:link|port|activity|speed)\b/i.test(item);
}

/** Equal but for case and white space: for names of subjects and items. */
export function sameName(a: string, b: string): boolean {
  return foldName(a) === foldName(b);
}

export function foldName(text: string): string {
  return text.normalize('NFKC').trim().toLowerCase().replace(/\s+/g, ' ');
}

export function wordsOf(text: string): string[] {
  return (
    text
      .normalize('NFKC')
      .toLowerCase()
      .match(/[\p{L}\p{N}]+/gu) ?? []
  );
}

function sameWords(a: readonly string[], b: readonly string[]): boolean {
  const essence = (words: readonly string[]): string =>
    words
      .filter((word) => !FILLERS.has(word))
      .sort()
      .join(' ');
  return essence(a) === essence(b);
}

/** The one speed that a text names: `10G`, `10 Gbit/s full duplex`. Undefined where it names none, or several. */
function speedIn(text: string): number | undefined {
  const named = text.match(/\d+(?:\.\d+)?\s*[kmgt](?:b(?:it)?(?:\/s|ps)?)?\b/gi) ?? [];
  const [speed, second] = new Set(named.flatMap((one) => parseSpeed(one.replace(/\s+/g, '')) ?? []));
  return second === undefined ? speed : undefined;
}
