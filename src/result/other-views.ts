/** Where two vantages saw one fact differently, the other view is said beside it. */
import { stateOf } from '../facts/service-state.js';
import type { EndpointResult, EndpointSighting } from '../matrix/matrix.js';
import { parseService } from '../plan/services.js';
import { list } from '../text/sentence.js';
import type { ShownFact } from './fact-cell.js';
import { serviceWords } from './service-words.js';

const VANTAGES_NAMED = 3;

/** What vantages other than the fact's own saw, where it is something else: `no reply from loft`. */
export function otherViews(
  { sightings }: Pick<EndpointResult, 'sightings'>,
  facts: readonly ShownFact[],
): readonly string[] {
  if (sightings.length < 2) return [];
  return facts.flatMap((fact) => {
    const views = sightings.flatMap((sighting) => {
      const view = viewOf(fact, sighting);
      return view === undefined ? [] : [{ view, vantage: sighting.vantage }];
    });
    const own = views.find(({ vantage }) => vantage === fact.vantage)?.view;
    if (own === undefined) return [];
    const different = views.filter(({ view }) => view !== own);
    return [...new Set(different.map(({ view }) => view))].map((view) => {
      const from = different.filter((one) => one.view === view).map(({ vantage }) => vantage);
      return `${view} from ${list(from, VANTAGES_NAMED)}`;
    });
  });
}

/** In few words, alike where it is the same; undefined where it was not asked or could not be. */
function viewOf({ kind, service }: ShownFact, sighting: EndpointSighting): string | undefined {
  const { presence, icmp } = sighting;
  switch (kind) {
    case 'address':
      return presence.outcome === 'claimed'
        ? 'there'
        : presence.outcome === 'unclaimed'
          ? 'nobody answers'
          : undefined;
    case 'echo':
      return icmp.outcome === 'replied' ? 'replies' : icmp.outcome === 'no-reply' ? 'no reply' : undefined;
    case 'service': {
      const planned = parseService(service);
      return planned === undefined ? undefined : serviceWords(stateOf(planned, sighting).state);
    }
    default:
      return undefined;
  }
}
