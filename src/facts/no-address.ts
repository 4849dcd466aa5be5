import { finding } from '../findings/index.js';
import { differs, type Row, unproven } from './facts.js';

/** Row 1. No address planned (Fibre Channel, power): the link by SNMP, else what eyes saw, else unproven. */
export const noAddress: Row = ({ endpoint, cabling, attested, observationPlanned, view }) => {
  if (endpoint.address !== undefined) return undefined;
  const byLink = cabling?.verdict;
  const linkReasons = [
    ...(cabling?.differences ?? []).map(
      ({ field, planned, measured }) => `${field}: planned ${planned}, measured ${measured}`,
    ),
    ...(cabling?.reasons ?? []),
  ];
  // What eyes saw as bad is not outvoted by an agent that says up.
  if (byLink === 'matches' && attested?.good !== false)
    return {
      verdict: 'matches',
      reasons: linkReasons.length > 0 ? linkReasons : ['its own agent says that the link is up'],
      findings: [],
      liveness: { state: 'live' },
    };
  if (byLink === 'differs')
    return differs(
      linkReasons.length > 0 ? linkReasons : ['its link is not as planned'],
      [],
      cabling?.linkState === 'up' ? 'live' : 'dead',
    );
  if (attested !== undefined)
    return attested.good
      ? { verdict: 'matches', reasons: [attested.text], findings: [], liveness: { state: 'live' } }
      : differs(
          [attested.text],
          observationPlanned
            ? []
            : [finding('observation-differs', endpoint.id, attested.attestation, { about: [endpoint.id] })],
        );
  if (!view.lookedAt(endpoint.device)) return undefined;
  const item = lightOf(endpoint.role);
  return unproven(
    [...linkReasons, `it has no address to ask, no agent told its link, and nobody has recorded its ${item}`],
    observationPlanned
      ? []
      : [finding('observation-open', endpoint.id, { subject: endpoint.id, item }, { about: [endpoint.id] })],
  );
};

/** What to look at where no address can be asked: the item under which it is attested. */
export function lightOf(role: string): string {
  return role === 'power' ? 'power lamp' : 'link light';
}
