import { type Finding, finding } from '../findings/index.js';
import { isSnmpService } from '../plan/services.js';
import { differs, type EndpointFacts, type Row } from './facts.js';
import { type ServiceState, works } from './services.js';

/** Row 8. A planned service refuses, is silent, or is another one, while the host is there. */
export const servicesRow: Row = (facts) => {
  const failing = facts.services.filter((state) => !works(state) && !OPEN.has(state.state));
  const findings = failing.map((state) => serviceFinding(facts, state, false));
  if (findings.length === 0) return undefined;
  // A wrong credential leaves the path as it is: only services that carry something end it.
  const dead = failing.some(({ state }) => !SNMP_OUT.has(state));
  const reasons = failing.map(
    ({ service, state, detail }) =>
      `${service.name} ${PHRASE[state]}${detail === undefined ? '' : ` (${detail})`}`,
  );
  return differs([...reasons, ...workingReason(facts.services)], findings, dead ? 'dead' : 'live');
};

const SNMP_OUT: ReadonlySet<ServiceState['state']> = new Set([
  'snmp-silent',
  'snmp-refused',
  'snmp-rejected',
]);
const OPEN: ReadonlySet<ServiceState['state']> = new Set(['unprovable', 'not-asked']);

const PHRASE: Readonly<Record<ServiceState['state'], string>> = {
  proven: 'is proven',
  open: 'accepts',
  refused: 'refuses',
  silent: 'is silent',
  speechless: 'accepts a connection but does not speak',
  other: 'is not what speaks on its port',
  'snmp-silent': 'does not answer',
  'snmp-refused': 'refuses',
  'snmp-rejected': 'rejects the credential',
  unprovable: 'cannot be proven from here',
  'not-asked': 'was not asked',
};

export function workingReason(services: readonly ServiceState[]): string[] {
  const names = services.filter(works).map(({ service }) => service.name);
  return names.length === 0 ? [] : [`${names.join(', ')} ${names.length === 1 ? 'answers' : 'answer'}`];
}

export function serviceFinding(facts: EndpointFacts, state: ServiceState, claimedOnly: boolean): Finding {
  const { endpoint, best } = facts;
  const { service, detail } = state;
  const base = {
    endpoint: endpoint.id,
    address: endpoint.address ?? '',
    service: service.name,
    port: service.port,
    protocol: service.protocol,
    detail,
  };
  const more = {
    about: [endpoint.id],
    evidence: [
      `${best?.evidence.vantage.name ?? ''}, ${best?.evidence.startedAt ?? ''}: ${service.protocol} port ${service.port} at ${base.address}: ${state.state === 'snmp-silent' ? 'no answer' : PHRASE[state.state]}${detail === undefined ? '' : ` (${detail})`}`,
    ],
  };
  if (claimedOnly) return finding('service-missing', endpoint.id, { ...base, kind: 'claimed-only' }, more);
  switch (state.state) {
    case 'refused':
    case 'snmp-refused':
      return finding('service-refused', endpoint.id, base, more);
    case 'other':
      return finding('service-other', endpoint.id, base, more);
    case 'snmp-silent':
      return snmpFinding(facts, true, 'silent', detail);
    case 'snmp-rejected':
      return snmpFinding(facts, true, 'rejected', detail);
    default:
      return finding(
        'service-missing',
        endpoint.id,
        { ...base, kind: state.state === 'speechless' ? 'speechless' : 'silent' },
        more,
      );
  }
}

/** A credential was used and brought nothing, though the service itself is not in doubt or not planned. A note. */
export function snmpNote(facts: EndpointFacts): Finding[] {
  const snmp = facts.best?.sighting.snmp;
  if (snmp === undefined || snmp.outcome === 'replied' || snmp.outcome === 'not-run') return [];
  const planned = facts.services.find(({ service }) => isSnmpService(service));
  if (planned !== undefined && !works(planned)) return [];
  return [snmpFinding(facts, false, snmp.outcome, snmp.detail)];
}

function snmpFinding(
  { endpoint, best }: EndpointFacts,
  planned: boolean,
  outcome: 'no-reply' | 'refused' | 'unreachable' | 'rejected' | 'silent',
  detail: string | undefined,
): Finding {
  const snmp = best?.sighting.snmp;
  const credential = snmp !== undefined && snmp.outcome !== 'not-run' ? snmp.credential : undefined;
  const address = endpoint.address ?? '';
  return finding(
    'snmp-no-answer',
    endpoint.id,
    { endpoint: endpoint.id, address, credential, outcome, detail, planned },
    {
      about: [endpoint.id],
      ...(planned ? {} : { severity: 'note' as const }),
      evidence: [
        `${best?.evidence.vantage.name ?? ''}, ${best?.evidence.startedAt ?? ''}: SNMP at ${address}: ${outcome}${detail === undefined ? '' : ` (${detail})`}`,
      ],
    },
  );
}
