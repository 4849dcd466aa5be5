/** One planned fact as a few words with a mark, for a cell of the matrix. Nothing is judged here: the state is the fact's own. */

import type { EndpointSighting, FactResult } from '../matrix/matrix.js';
import type { Mark } from '../text/marks.js';
import { factName } from './fact-names.js';
import { formatMs } from './format-ms.js';
import { nameOf } from './name-of.js';
import { serviceWords } from './service-words.js';

/** A fact as a cell shows it. `kind` and `service` say which column it stands in. */
export interface ShownFact {
  readonly kind: FactResult['fact'];
  readonly service: string;
  readonly mark: Mark;
  readonly text: string;
  /** The words say no more than that it is as planned. */
  readonly plain?: true | undefined;
  readonly vantage: string;
  /** Why it is not as planned or not proven; empty where that is nowhere said. */
  readonly reason: string;
}

/** Facts that a cell holds several of: their words say which is meant. */
const NAMED_IN_CELL: ReadonlySet<FactResult['fact']> = new Set([
  'link',
  'light',
  'speed',
  'switch-port',
  'vlan',
]);

/** `sightings`: of the endpoint, for the round trip, which no plan states. */
export function shownFact(fact: FactResult, sightings: readonly EndpointSighting[]): ShownFact {
  const eyes = fact.by === 'attested' ? ' (seen by eye)' : '';
  return {
    kind: fact.fact,
    service: fact.service ?? '',
    mark: fact.state,
    text: wordsOf(fact, sightings) + eyes,
    ...(fact.fact === 'service' && fact.state === 'matches' && eyes === '' ? { plain: true as const } : {}),
    vantage: fact.vantage,
    reason: fact.reason,
  };
}

function wordsOf(fact: FactResult, sightings: readonly EndpointSighting[]): string {
  const { state, measured, planned } = fact;
  switch (state) {
    case 'matches':
      return matching(fact, sightings);
    case 'differs':
      return differing(fact);
    case 'missing':
      return fact.fact === 'address' ? 'nobody answers' : measured === '' ? 'missing' : measured;
    case 'unproven':
      return NAMED_IN_CELL.has(fact.fact) && planned !== '' ? `${factName(fact)} unproven` : 'unproven';
  }
}

function matching(fact: FactResult, sightings: readonly EndpointSighting[]): string {
  const { measured, planned, cause } = fact;
  switch (fact.fact) {
    case 'address':
      return cause === 'answers-only' ? 'answers' : cause === 'at-default' ? `at ${measured}` : 'there';
    case 'echo':
      return roundTrip(fact.vantage, sightings) ?? 'replies';
    case 'service':
      return 'answers';
    case 'box':
      return nameIn(sightings, fact.vantage) ?? 'the right one';
    case 'link':
      return 'up';
    case 'light':
      return 'light';
    case 'portals':
      return 'listed';
    case 'vlan':
      return `VLAN ${measured === '' ? planned : measured}`;
    default:
      return measured === '' ? planned : measured;
  }
}

/** With what was planned, where that is a value that one could have measured. */
function differing({ fact, measured, planned, cause = '' }: FactResult): string {
  if (fact === 'service') return serviceWords(cause) ?? measured;
  const found = measured === '' ? 'not as planned' : measured;
  const compared = ['speed', 'mtu', 'vlan', 'switch-port', 'box', 'portals'].includes(fact);
  return compared && planned !== '' && planned.length <= PLANNED_SHOWN
    ? `${found}, planned ${planned}`
    : found;
}

const PLANNED_SHOWN = 60;

/** What the device calls itself. */
function nameIn(sightings: readonly EndpointSighting[], vantage: string): string | undefined {
  const own = sightings.find((sighting) => sighting.vantage === vantage) ?? sightings[0];
  return own === undefined ? undefined : nameOf(own);
}

function roundTrip(vantage: string, sightings: readonly EndpointSighting[]): string | undefined {
  const replied = sightings.flatMap(({ icmp, vantage: from }) =>
    icmp.outcome === 'replied' ? [{ icmp, from }] : [],
  );
  const best = replied.find(({ from }) => from === vantage) ?? replied[0];
  if (best === undefined) return undefined;
  const { rttMs, sent, received } = best.icmp;
  return `${formatMs(rttMs)}${received < sent ? `, ${received} of ${sent}` : ''}`;
}
