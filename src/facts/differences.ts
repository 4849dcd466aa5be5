/** What of an endpoint is not as planned, as values: planned, measured, and where that was seen. Links and cables tell their own. */
import type { Difference } from '../matrix/matrix.js';
import type { EndpointFacts } from './facts.js';
import { type ServiceState, works } from './services.js';

const MEASURED: Partial<Record<ServiceState['state'], string>> = {
  refused: 'refused',
  silent: 'no reply',
  speechless: 'accepts a connection, says nothing',
  other: 'another protocol',
  'snmp-silent': 'no reply',
  'snmp-refused': 'refused',
  'snmp-rejected': 'credential rejected',
};

/** For an endpoint that differs. What could not be asked is no difference. */
export function differencesOf(facts: EndpointFacts): Difference[] {
  return [...claimants(facts), ...box(facts), ...services(facts), ...echo(facts)];
}

function claimants({ duplicate, endpoint }: EndpointFacts): Difference[] {
  if (duplicate === undefined || endpoint.virtual) return [];
  const measured = duplicate.macs.length > 1 ? duplicate.macs.join(', ') : (duplicate.why ?? 'two boxes');
  return [{ field: 'address', planned: 'one box', measured, evidence: duplicate.evidence.join('; ') }];
}

function box({ wrong }: EndpointFacts): Difference[] {
  return (wrong?.differing ?? []).map((one) => ({ ...one, evidence: wrong?.evidence.join('; ') ?? '' }));
}

function services(facts: EndpointFacts): Difference[] {
  return facts.services.flatMap((one): Difference[] => {
    const { service, state, detail } = one;
    const measured = MEASURED[state];
    if (works(one) || measured === undefined) return [];
    const port = `${service.protocol} port ${service.port}`;
    return [
      {
        field: 'services',
        planned: `${service.name} on ${port}`,
        measured: detail === undefined || detail === '' ? measured : `${measured} (${detail})`,
        evidence: `${seenBy(facts)}: ${port}`,
      },
    ];
  });
}

/** An echo alone is asked for where no service is planned. */
function echo(facts: EndpointFacts): Difference[] {
  const icmp = facts.best?.sighting.icmp;
  if (facts.endpoint.services.length > 0 || icmp === undefined) return [];
  if (icmp.outcome !== 'no-reply' && icmp.outcome !== 'unreachable') return [];
  return [
    { field: 'echo', planned: 'replied', measured: icmp.outcome, evidence: `${seenBy(facts)}: ICMP echo` },
  ];
}

function seenBy({ best }: EndpointFacts): string {
  return best === undefined ? '' : `${best.evidence.vantage.name}, ${best.evidence.startedAt}`;
}
