/**
 * Fact `link` or `light` of an endpoint without an address (Fibre Channel, power), by eyes. What an agent or a switch measured goes before,
 * but what eyes saw as bad is not outvoted by an agent that says up.
 */
import { finding } from '../findings/index.js';
import { differing, type Fact, matching, open, type Stated } from './fact.js';
import type { Situation } from './situation.js';

/** The facts about link and cable, with what eyes saw in the place of what nobody measured. */
export function withLinkByEyes(s: Situation, cabling: readonly Fact[]): readonly Fact[] {
  const { endpoint, attested } = s;
  if (endpoint.address !== undefined) return cabling;
  const isLink = ({ fact }: Fact): boolean => fact === 'link' || fact === 'light';
  const told = cabling.filter(isLink);
  if (told.some(({ state }) => state !== 'unproven') && attested?.good !== false) return cabling;
  return [byEyes(s, told), ...cabling.filter((fact) => !isLink(fact))];
}

/** The fact as its own file states it, with eyes in the place of the agent that did not tell. */
function byEyes(s: Situation, told: readonly Fact[]): Fact {
  const { endpoint, attested, observationPlanned, view } = s;
  const item = lightOf(endpoint.role);
  const untold = told.find(({ fact }) => fact === 'light') ?? told[0];
  const stated: Stated = {
    fact: untold?.fact ?? (endpoint.media === 'fc' ? 'light' : 'link'),
    planned: untold?.planned ?? 'up',
  };
  if (attested !== undefined)
    return attested.good
      ? matching(stated, attested.text, { by: 'attested', measured: attested.attestation.saw })
      : differing(stated, 'seen-otherwise', attested.text, {
          by: 'attested',
          measured: attested.attestation.saw,
          evidence: [attested.text],
          path: 'ends',
          findings: observationPlanned
            ? []
            : [finding('observation-differs', endpoint.id, attested.attestation, { about: [endpoint.id] })],
        });
  if (!view.lookedAt(endpoint.device)) {
    const only = [...new Set(view.evidence.flatMap((one) => one.only ?? []))].sort();
    return open(stated, 'not-looked-at', `not looked at: the run was limited to ${only.join(', ')}`, {
      path: 'open',
    });
  }
  const look = `look at it and record it: matchmark attest RUN --subject ${endpoint.id} --item "${item}"`;
  return open(
    stated,
    'nobody-looked',
    [...(untold?.lines ?? ['it has no address to ask']), `nobody has recorded its ${item}`],
    {
      path: 'open',
      mend: untold?.mend === undefined ? look : `${look}; or ${untold.mend}`,
      findings: observationPlanned
        ? []
        : [
            finding(
              'observation-open',
              endpoint.id,
              { subject: endpoint.id, item },
              { about: [endpoint.id] },
            ),
          ],
    },
  );
}

/** What to look at where no address can be asked: the item under which it is attested. */
export function lightOf(role: string): string {
  return role === 'power' ? 'power lamp' : 'link light';
}
