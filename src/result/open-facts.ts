/** What a run could not prove, by the reason why, with what would prove it. Made once for page and terminal. */
import type { FactResult, Matrix } from '../matrix/matrix.js';
import { groupBy } from '../text/group-by.js';
import { count, ended, list, plural } from '../text/sentence.js';
import { factName } from './fact-names.js';

const KINDS_NAMED = 6;
const ENDPOINTS_NAMED = 4;
const MENDS_SHOWN = 2;

export interface OpenFacts {
  /** One sentence: what is open, of how many endpoints, and why. */
  readonly sentence: string;
  /** What would prove it, as the fact itself says. */
  readonly mend?: string | undefined;
  /** Whether anybody is at the address is among them: the rest hangs on it. */
  readonly away: boolean;
  readonly facts: number;
  readonly endpoints: readonly string[];
}

interface Open {
  readonly id: string;
  readonly fact: FactResult;
  /** Why, as a key: what is open because nobody could ask the address is open for the reason of the address. */
  readonly why: string;
}

/** What keeps the laptop away from addresses first, then the largest. `told`: what would prove them that stands elsewhere. */
export function openFacts(
  { endpoints }: Pick<Matrix, 'endpoints'>,
  told: ReadonlySet<string> = new Set(),
): readonly OpenFacts[] {
  const open = endpoints.flatMap(({ id, facts }) => {
    const address = facts.find(({ fact, state }) => fact === 'address' && state === 'unproven');
    return facts
      .filter(({ state }) => state === 'unproven')
      .map((fact): Open => {
        const { cause, reason } = fact.reason === address?.reason ? address : fact;
        return { id, fact, why: cause ?? reason };
      });
  });
  if (open.length === 0) return oldResult(endpoints);
  const byReason = groupBy(open, ({ why }) => why);
  return [...byReason.values()]
    .map((own): OpenFacts => {
      const ids = [...new Set(own.map(({ id }) => id))];
      const [first] = own;
      const kinds = [...new Set(own.map(({ fact }) => factName(fact)))];
      const reason = first?.fact.reason ?? '';
      const alike = new Set(own.map(({ fact }) => fact.reason)).size === 1;
      const why =
        reason === ''
          ? ''
          : alike
            ? `: ${reason}`
            : `; for example${ids.length === 1 ? '' : ` ${first?.id}`}: ${reason}`;
      const what = `${count(own.length, 'fact')} of ${whom(ids)} ${plural(own.length, 'is', 'are')} unproven (${list(kinds, KINDS_NAMED)})`;
      return {
        sentence: ended(`${what}${why}`),
        mend: mendsOf(
          own.map(({ fact }) => fact.mend).filter((mend) => mend === undefined || !told.has(mend)),
        ),
        away: own.some(({ fact }) => fact.fact === 'address'),
        facts: own.length,
        endpoints: ids,
      };
    })
    .sort((a, b) => Number(b.away) - Number(a.away) || b.facts - a.facts);
}

/** What would prove them; where that is not the same for all, the first ways and how many more there are. */
function mendsOf(all: readonly (string | undefined)[]): string | undefined {
  const mends = [...new Set(all.flatMap((mend) => (mend === undefined || mend === '' ? [] : [mend])))];
  const hidden = mends.length - MENDS_SHOWN;
  const shown = mends.slice(0, MENDS_SHOWN).join('; ');
  return mends.length === 0 ? undefined : hidden > 0 ? `${shown}; and ${hidden} more like these` : shown;
}

/** Results of older versions have no facts: the reasons of the endpoints stand for them. */
function oldResult(endpoints: Matrix['endpoints']): OpenFacts[] {
  const unproven = endpoints.filter(({ verdict }) => verdict === 'unproven');
  const byReason = groupBy(unproven, ({ reasons }) => reasons[0] ?? 'no reason was recorded');
  return [...byReason]
    .map(([reason, own]) => {
      const ids = own.map(({ id }) => id);
      return {
        sentence: ended(`${whom(ids)} ${plural(ids.length, 'is', 'are')} unproven: ${reason}`),
        away: false,
        facts: ids.length,
        endpoints: ids,
      };
    })
    .sort((a, b) => b.facts - a.facts);
}

function whom(ids: readonly string[]): string {
  return ids.length <= ENDPOINTS_NAMED ? list(ids) : count(ids.length, 'endpoint');
}
