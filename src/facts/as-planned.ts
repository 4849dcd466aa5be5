import { finding } from '../findings/index.js';
import { differs, type EndpointFacts, type Row, type RowOutcome, unproven } from './facts.js';
import { works } from './services.js';
import { workingReason } from './services-row.js';

/** Row 9. Link, speed, MTU, switch port or portals are not as planned; the path stays live. */
export const cablingRow: Row = (facts) => {
  const differences = facts.cabling?.differences ?? [];
  if (differences.length === 0) return undefined;
  const rest = lastRow(facts);
  return differs(
    [
      ...differences.map(
        ({ field, planned, measured }) => `${field}: planned ${planned}, measured ${measured}`,
      ),
      ...rest.reasons,
    ],
    rest.findings,
    rest.verdict === 'unproven' ? 'unproven' : 'live',
  );
};

/** Row 10, and what no row above fits: every planned service proven, or unproven with what is left to ask. */
export function lastRow(facts: EndpointFacts): RowOutcome {
  const { best, services, claimed, endpoint } = facts;
  if (best === undefined) return unproven(['nothing was measured']);
  const { icmp, snmp, address } = best.sighting;
  const working = services.filter(works);
  const open = services.filter(({ state }) => state === 'not-asked');
  const unprovable = services
    .filter(({ state }) => state === 'unprovable')
    .map(
      ({ service, detail }) =>
        `${service.name} (${service.protocol} ${service.port}) could not be proven: ${detail ?? ''}`,
    );
  const acceptedOnly = working
    .filter(({ state }) => state === 'open')
    .map(
      ({ service, detail }) =>
        `${service.name} was proven by an accepted connection alone${detail === undefined ? '' : `: ${detail}`}`,
    );
  const notes = [...workingReason(services), ...acceptedOnly, ...unprovable];
  if (open.length > 0)
    return unproven([
      ...open.map(({ service, detail }) => `${service.name} was not asked: ${detail ?? ''}`),
      ...notes,
    ]);
  if (icmp.outcome === 'replied') return matches([...notes, `echo replied in ${icmp.rttMs} ms`]);
  if (working.length > 0 || snmp.outcome === 'replied') {
    const echo =
      icmp.outcome === 'not-run'
        ? `echo was not asked: ${icmp.reason}`
        : icmp.outcome === 'no-reply'
          ? 'no echo reply, but the services answer'
          : `echo: ${icmp.detail}, but the services answer`;
    return matches([...notes, ...(working.length === 0 ? ['SNMP answers'] : []), echo]);
  }
  if (icmp.outcome === 'not-run')
    return unproven([
      `${claimed.byBox ? 'somebody claims the address' : 'something is there'}, but nothing could be asked of it; echo was not asked: ${icmp.reason}`,
      ...(icmp.mend === undefined ? [] : [`to mend it: ${icmp.mend}`]),
      ...notes,
    ]);
  const macs = claimed.claimants.map(({ mac }) => mac);
  return differs(
    ['the box is there, but does not answer an echo request, and no other service is planned', ...notes],
    [
      finding(
        'no-echo',
        endpoint.id,
        { endpoint: endpoint.id, address, macs },
        { about: [endpoint.id], evidence: claimed.claimants.flatMap(({ evidence }) => evidence) },
      ),
    ],
    'unproven',
  );
}

function matches(reasons: readonly string[]): RowOutcome {
  return { verdict: 'matches', reasons, findings: [], liveness: { state: 'live' } };
}
