/** What answered in one place and not in another, where both could tell. */

import { claimedBy } from '../evidence/claims.js';
import { isOwn } from '../evidence/own.js';
import { somebodyThere } from '../evidence/there.js';
import type { Seen, View } from '../evidence/view.js';
import { type Finding, finding } from '../findings/index.js';
import type { Disagreement } from '../findings/site/vantages.js';
import type { Endpoint } from '../plan/model.js';
import { sayLine, seenLine } from '../sighting/evidence-line.js';
import { type ServiceState, serviceStates, works } from './service-state.js';

/** Looks that lie further apart may have seen the site before and after a change, in milliseconds. */
const TOGETHER_MS = 15 * 60_000;

export function judgeDisagreements(view: View): Finding[] {
  return view.plan.endpoints.flatMap((endpoint) => {
    const { address } = endpoint;
    if (address === undefined) return [];
    const looks = view.seen(address).filter((look) => couldTell(view, endpoint, look));
    if (looks.length < 2) return [];
    const differences = differencesOf(view, endpoint, looks);
    if (differences.length === 0) return [];
    const concerned = new Set(differences.flatMap(({ answered, silent }) => [...answered, ...silent]));
    const told = looks.filter(({ evidence }) => concerned.has(evidence.vantage.name));
    return [
      finding(
        'places-disagree',
        endpoint.id,
        { endpoint: endpoint.id, address, differences },
        {
          about: [endpoint.id],
          evidence: told
            .map(({ evidence, sighting }) =>
              seenLine(
                evidence,
                `${sighting.reach}, ${present(view, { evidence, sighting }, told) ? 'an answer' : 'no answer'}`,
              ),
            )
            .sort((a, b) => (sayLine(a) < sayLine(b) ? -1 : 1)),
          ...(isSure(told) ? {} : { severity: 'note' as const }),
        },
      ),
    ];
  });
}

/** Somebody who is not on that network, or who is the device itself, does not disagree. */
function couldTell(view: View, endpoint: Endpoint, look: Seen): boolean {
  const { sighting, evidence } = look;
  if (isOwn(look) || sighting.reach === 'no-route') return false;
  if (sighting.reach === 'on-link')
    return (
      sighting.presence.outcome !== 'not-run' && view.places.at(evidence, sighting.address).kind === 'there'
    );
  return (
    view.networkOf(endpoint)?.routed === true &&
    look.responses.some(({ state }) => state === 'answered' || state === 'silent')
  );
}

/** All of them on the link, and close enough in time that nothing was changed in between. */
function isSure(looks: readonly Seen[]): boolean {
  const times = looks.flatMap(({ evidence }) => [Date.parse(evidence.startedAt)]);
  const spread = Math.max(...times) - Math.min(...times);
  return spread <= TOGETHER_MS && looks.every(({ sighting }) => sighting.reach === 'on-link');
}

function present(
  view: View,
  { evidence, sighting }: Pick<Seen, 'evidence' | 'sighting'>,
  looks: readonly Seen[],
): boolean {
  const look = looks.find((one) => one.evidence === evidence && one.sighting === sighting);
  return look !== undefined && somebodyThere(claimedBy(view, [look]), look.responses);
}

function differencesOf(view: View, endpoint: Endpoint, looks: readonly Seen[]): Disagreement[] {
  const there = looks.filter((look) => present(view, look, looks));
  const split = (what: string, yes: readonly Seen[], no: readonly Seen[]): Disagreement[] =>
    yes.length === 0 || no.length === 0 ? [] : [{ what, answered: names(yes), silent: names(no) }];
  const absent = split(
    'it',
    there,
    looks.filter((look) => !there.includes(look)),
  );
  if (absent.length > 0) return absent;
  const states = looks.map((look) => ({ look, states: serviceStates(endpoint, look) }));
  return endpoint.services.flatMap((service, index) => {
    const of = (wanted: (state: ServiceState) => boolean): Seen[] =>
      states.flatMap(({ look, states: all }) => {
        const state = all[index];
        return state !== undefined && wanted(state) ? [look] : [];
      });
    return split(
      service.name,
      of(works),
      of(({ state }) => state === 'refused' || state === 'silent' || state === 'speechless'),
    );
  });
}

function names(looks: readonly Seen[]): string[] {
  return [...new Set(looks.map(({ evidence }) => evidence.vantage.name))].sort();
}
