import { isMovingPair, ownersOf } from '../evidence/duplicate.js';
import { type Finding, finding } from '../findings/index.js';
import { differs, type EndpointFacts, type Row } from './facts.js';

/** Row 6. Two boxes claim the address. A virtual address and a planned pair that moves its address do not count. */
export const duplicate: Row = (facts) => {
  const findings = duplicateFinding(facts);
  if (findings.length === 0 || facts.duplicate === undefined) return undefined;
  const { macs, sure, why } = facts.duplicate;
  return differs(
    [
      macs.length > 1
        ? `claimed by ${macs.length} boxes (${macs.join(', ')}), ${sure}`
        : `most likely two boxes: ${why ?? 'it changed between two connections'}`,
    ],
    findings,
  );
};

export function duplicateFinding({ duplicate: found, endpoint, view }: EndpointFacts): Finding[] {
  if (found === undefined || endpoint.address === undefined) return [];
  if (found.sure === 'likely' && isMovingPair(view.plan, found.macs)) return [];
  return [
    finding(
      'duplicate-address',
      endpoint.id,
      {
        address: endpoint.address,
        endpoint: endpoint.id,
        macs: found.macs,
        sure: found.sure,
        owners: ownersOf(view.plan, found.macs),
        why: found.why,
      },
      { evidence: found.evidence, about: [endpoint.id] },
    ),
  ];
}
