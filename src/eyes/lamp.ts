/**
 * What words say of a lamp: lit or not, colour, steady or blinking. Words of the trade, common practice, no source; amber and orange are
 * one colour, since makers and people call the same lamp by either.
 */

export interface Lamp {
  readonly lit: boolean;
  readonly colour?: string | undefined;
  readonly mode?: 'steady' | 'blinking' | undefined;
}

/** `unclear`: words alone cannot tell, the person has to. */
export type Meaning = 'agrees' | 'differs' | 'unclear';

type Say =
  | { readonly colour: string }
  | { readonly mode: 'steady' | 'blinking' }
  | { readonly lit: boolean }
  | 'filler'
  | 'not';

const LEXICON: ReadonlyMap<string, Say> = new Map<string, Say>([
  ...words(['green'], { colour: 'green' }),
  ...words(['amber', 'orange', 'yellow'], { colour: 'amber' }),
  ...words(['red'], { colour: 'red' }),
  ...words(['blue'], { colour: 'blue' }),
  ...words(['white'], { colour: 'white' }),
  ...words(
    [
      'steady',
      'steadily',
      'solid',
      'constant',
      'constantly',
      'continuous',
      'continuously',
      'permanent',
      'static',
    ],
    {
      mode: 'steady',
    },
  ),
  ...words(
    [
      'blinking',
      'blinks',
      'blink',
      'flashing',
      'flashes',
      'flash',
      'flickering',
      'flickers',
      'pulsing',
      'pulsating',
    ],
    { mode: 'blinking' },
  ),
  ...words(['on', 'lit', 'glowing', 'glows', 'bright', 'shining', 'shines'], { lit: true }),
  ...words(['off', 'dark', 'unlit', 'out', 'dead', 'black'], { lit: false }),
  ...words(
    [
      'a',
      'an',
      'the',
      'is',
      'are',
      'it',
      'both',
      'all',
      'of',
      'and',
      'in',
      'colour',
      'color',
      'each',
      'every',
      'lamp',
      'lamps',
      'led',
      'leds',
    ],
    'filler',
  ),
  ...words(
    [
      'light',
      'lights',
      'link',
      'links',
      'power',
      'status',
      'supply',
      'supplies',
      'with',
      'traffic',
      'activity',
    ],
    'filler',
  ),
  ...words(['not', 'no', 'none', 'never', 'without', 'isn', 'aren', 't'], 'not'),
]);

function words(list: readonly string[], say: Say): [string, Say][] {
  return list.map((word) => [word, say]);
}

/** Undefined where a word says something else, or two words contradict each other. */
export function lampOf(text: readonly string[]): Lamp | undefined {
  let lit: boolean | undefined;
  let colour: string | undefined;
  let mode: Lamp['mode'];
  let negated = false;
  for (const word of withoutNoFault(text)) {
    const say = LEXICON.get(word);
    if (say === undefined) return undefined;
    if (say === 'filler') continue;
    if (say === 'not') negated = true;
    else if ('colour' in say) {
      if (colour !== undefined && colour !== say.colour) return undefined;
      colour = say.colour;
    } else if ('mode' in say) {
      if (mode !== undefined && mode !== say.mode) return undefined;
      mode = say.mode;
    } else {
      if (lit !== undefined && lit !== say.lit) return undefined;
      lit = say.lit;
    }
  }
  if (negated) {
    // "no light", "not lit", "none" are dark; "not off" is lit; "not green" may be anything.
    if (colour !== undefined || mode !== undefined) return undefined;
    return { lit: lit === undefined ? false : !lit };
  }
  if (lit === false) return colour === undefined && mode === undefined ? { lit } : undefined;
  if (lit === undefined && colour === undefined && mode === undefined) return undefined;
  return { lit: true, ...(colour === undefined ? {} : { colour }), ...(mode === undefined ? {} : { mode }) };
}

/** "Green, no faults" is green. */
function withoutNoFault(text: readonly string[]): string[] {
  return text.filter((word, at) => {
    const isFault = (one: string | undefined): boolean =>
      one !== undefined && /^(?:fault|alarm|error|warning)s?$/.test(one);
    const isNone = (one: string | undefined): boolean => one === 'no' || one === 'without';
    return !(isNone(word) && isFault(text[at + 1])) && !(isFault(word) && isNone(text[at - 1]));
  });
}

/** `isLink`: a link light blinks with traffic, so that blinking and steady both say that the link is there. */
export function lampsAgree(saw: Lamp, expect: Lamp, isLink: boolean): Meaning {
  if (saw.lit !== expect.lit) return 'differs';
  if (!expect.lit) return 'agrees';
  if (expect.colour !== undefined && saw.colour !== undefined && saw.colour !== expect.colour)
    return 'differs';
  if (!isLink && saw.mode !== undefined && saw.mode !== (expect.mode ?? 'steady')) return 'differs';
  // "Lit" for "green", red for "lit", green for "blinking green": only who stood there can tell.
  if (expect.colour !== undefined && saw.colour === undefined) return 'unclear';
  if (expect.colour === undefined && saw.colour === 'red') return 'unclear';
  if (!isLink && expect.mode === 'blinking' && saw.mode === undefined) return 'unclear';
  return 'agrees';
}
