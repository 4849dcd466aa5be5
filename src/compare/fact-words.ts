/** Planned facts that changed, as rows. */
import { factName } from '../result/fact-names.js';
import { groupBy } from '../text/group-by.js';
import { count, list } from '../text/sentence.js';
import type { ComparedRow } from './section.js';
import type { EndpointChange, FactChange, FactState, Turn } from './types.js';

/** Endpoints named in one row. */
const SHOWN = 6;
const REASONS_SHOWN = 3;

/** A row each: what is wrong has to be found. A verdict is told where no fact of its endpoint took that turn. */
export function changedFacts(changed: readonly EndpointChange[], turn: Turn): ComparedRow[] {
  return changed.flatMap((endpoint): ComparedRow[] => {
    const { id, facts, before, now, reasons } = endpoint;
    if (isVerdictAlone(endpoint, turn))
      return [{ what: id, before, now, more: reasonWords(reasons), worse: turn === 'worse' }];
    return facts
      .filter((change) => change.turn === turn)
      .map((change) => ({
        what: `${id}: ${factName(change)}`,
        before: stateWords(change.before),
        now: stateWords(change.now),
        more: moreWords(change),
        worse: turn === 'worse',
      }));
  });
}

function isVerdictAlone({ turn: own, facts }: EndpointChange, turn: Turn): boolean {
  return own === turn && !facts.some((change) => change.turn === turn);
}

/** A row for each kind of fact and reason: what could not be tested is often one cause for many. */
export function factsGroup(changed: readonly EndpointChange[], turn: Turn): ComparedRow[] {
  const alone = changed.filter((endpoint) => isVerdictAlone(endpoint, turn));
  const all = changed.flatMap(({ id, facts }) =>
    facts.filter((change) => change.turn === turn).map((change) => ({ id, change })),
  );
  const alike = groupBy(all, ({ change }) => JSON.stringify([change.fact, change.service, change.cause]));
  const facts = [...alike.values()].flatMap((some): ComparedRow[] => {
    const [first] = some;
    if (first === undefined) return [];
    const ids = some.map(({ id }) => id);
    const where = list(ids, SHOWN);
    const { reason } = first.change;
    return [
      {
        what: `${factName(first.change)}: ${ids.length === 1 ? where : `${count(ids.length, 'endpoint')}, ${where}`}`,
        ...(turn === 'no-longer-proven' && reason !== '' ? { more: reason } : {}),
      },
    ];
  });
  return [
    ...facts,
    ...alone.map(({ id, before, now, reasons }) => ({ what: id, before, now, more: reasonWords(reasons) })),
  ];
}

function reasonWords(reasons: readonly string[]): string {
  return reasons.length === 0 ? '' : list(reasons, REASONS_SHOWN);
}

function stateWords({ state, measured, by }: FactState): string {
  const shown = measured === '' || state === 'missing' ? '' : `: ${measured}`;
  return `${state}${shown}${by === 'attested' ? ' (seen by eye)' : ''}`;
}

function moreWords({ planned, reason }: FactChange): string {
  return [planned === '' ? '' : `planned ${planned}`, reason].filter((part) => part !== '').join('; ');
}
