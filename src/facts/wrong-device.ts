import { type Finding, finding } from '../findings/index.js';
import { differs, type EndpointFacts, type Row } from './facts.js';

/** Row 7. The identity or the MAC is another's. */
export const wrongDeviceRow: Row = (facts) => {
  const findings = wrongDeviceFinding(facts);
  if (findings.length === 0 || facts.wrong === undefined) return undefined;
  const { mismatches, isInstead } = facts.wrong;
  return differs(
    [
      `the wrong box: ${mismatches.join('; ')}`,
      ...(facts.swappedWith !== undefined
        ? [`swapped with ${facts.swappedWith}`]
        : isInstead !== undefined
          ? [`it fits ${isInstead}`]
          : []),
    ],
    findings,
  );
};

export function wrongDeviceFinding({ wrong, endpoint, swappedWith }: EndpointFacts): Finding[] {
  if (wrong === undefined || endpoint.address === undefined) return [];
  return [
    finding(
      'wrong-device',
      endpoint.id,
      {
        address: endpoint.address,
        endpoint: endpoint.id,
        mismatches: wrong.mismatches,
        isInstead: wrong.isInstead,
        swappedWith,
      },
      {
        evidence: wrong.evidence,
        about: [...new Set([endpoint.id, ...(swappedWith === undefined ? [] : [swappedWith])])],
      },
    ),
  ];
}
