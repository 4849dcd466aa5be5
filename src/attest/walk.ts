/** The walk through all that is open: one line in, one question out. Pure, so that it can be tested without a terminal. */
import { meaningOfItem } from '../eyes/eyes.js';
import { count } from '../text/sentence.js';
import type { ObservationItem } from './open-items.js';

export interface Answer {
  readonly look: ObservationItem;
  readonly saw: string;
  /** Said by the person where words cannot tell. */
  readonly agrees?: boolean | undefined;
}

export interface Walk {
  /** What is asked now; undefined when the walk is over. */
  question(): string | undefined;
  /** Takes a line; the text to show before the next question, where there is any. */
  answer(line: string): string | undefined;
  /** In the order of the walk. */
  answers(): readonly Answer[];
}

export const WALK_HELP =
  'Enter: as expected. Or type what you see. s: skip, b: back, q: end (what you said is kept), ?: this.';

export function walkThrough(items: readonly ObservationItem[]): Walk {
  const given = new Map<ObservationItem, Answer>();
  let at = 0;
  let unclear: string | undefined;
  let ended = false;

  const keep = (look: ObservationItem, saw: string, agrees?: boolean): void => {
    given.set(look, { look, saw, ...(agrees === undefined ? {} : { agrees }) });
    unclear = undefined;
    at += 1;
  };
  const sure = (look: ObservationItem, saw: string, line: string): string | undefined => {
    if (/^(?:y|yes)$/i.test(line)) keep(look, saw, true);
    else if (/^(?:n|no)$/i.test(line)) keep(look, saw, false);
    else if (/^(?:b|back)$/i.test(line)) unclear = undefined;
    else return 'Say y, n, or b to look again.';
    return undefined;
  };

  return {
    question() {
      const look = ended ? undefined : items[at];
      if (look === undefined) return undefined;
      if (unclear !== undefined) return `  Is "${unclear}" ${wanted(look)}? y, n, or b to look again: `;
      const before = given.get(look)?.saw ?? look.saw;
      const place = `[${at + 1}/${items.length}]${look.when === undefined ? '' : ` ${look.when}`}`;
      const said = before === undefined ? '' : ` (written so far: ${before})`;
      return `${place} ${look.subject}: ${look.item}${said}\n  expected: ${look.expect}: `;
    },
    answer(text) {
      const line = text.trim();
      const look = items[at];
      if (ended || look === undefined) return undefined;
      if (unclear !== undefined) return sure(look, unclear, line);
      switch (line.toLowerCase()) {
        case '?':
          return WALK_HELP;
        case 's':
        case 'skip':
          at += 1;
          return undefined;
        case 'b':
        case 'back':
          if (at === 0) return 'This is the first.';
          at -= 1;
          return undefined;
        case 'q':
        case 'quit':
          ended = true;
          return undefined;
        case '':
          keep(look, look.expect);
          return undefined;
        default: {
          const meaning = meaningOfItem(line, look.expect, look.item);
          if (meaning === 'unclear') {
            unclear = line;
            return undefined;
          }
          keep(look, line);
          return meaning === 'differs' ? `  That is not ${wanted(look)}: it is recorded so.` : undefined;
        }
      }
    },
    answers: () => items.flatMap((look) => given.get(look) ?? []),
  };
}

/** "what was planned ("steady green")": the words of the plan where there are any. */
function wanted({ stated, expect }: ObservationItem): string {
  return stated ? `what was planned ("${expect}")` : 'as it should be';
}

export function walkSummary(items: readonly ObservationItem[], answers: readonly Answer[]): string {
  const differing = answers.filter(({ look, saw, agrees }) => {
    const meaning = meaningOfItem(saw, look.expect, look.item);
    return meaning === 'differs' || (meaning === 'unclear' && agrees === false);
  }).length;
  return `${count(answers.length, 'thing')} recorded, ${differing} not as planned, ${items.length - answers.length} left open.`;
}
