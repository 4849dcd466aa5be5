/**
 * Facts `service`, one a planned service: it speaks its own protocol there. Settled by the probe that proves it; a bare port by an
 * accepted connection (DESIGN 3). Two services of one dead port are one finding.
 */
import { type Finding, finding } from '../findings/index.js';
import { isSnmpService, serviceAt } from '../plan/services.js';
import { absent, differing, type Fact, matching, open, type Stated } from './fact.js';
import { type ServiceState, works } from './service-state.js';
import { type Situation, seenBy } from './situation.js';

export type ServiceCause = ServiceState['state'] | 'nobody-there' | 'shared-address' | 'other-device';

/** Whose answers they are: the planned device's, another's, two devices', or nobody's. */
export type Answerer = 'planned' | 'other-device' | 'shared-address' | 'nobody-there' | 'open';

const PHRASE: Readonly<Record<ServiceState['state'], string>> = {
  proven: 'is proven',
  open: 'accepts',
  refused: 'refuses',
  silent: 'is silent',
  speechless: 'accepts a connection but says nothing',
  other: 'is not what speaks on its port',
  'snmp-silent': 'does not answer',
  'snmp-refused': 'refuses',
  'snmp-rejected': 'rejects the credential',
  unprovable: 'cannot be proven from here',
  'not-asked': 'was not asked',
  'cut-short': 'takes a connection and was not waited for to its end',
  doubtful: 'was answered behind a router, where another may answer for it',
};

const MEASURED: Partial<Record<ServiceState['state'], string>> = {
  refused: 'refused',
  silent: 'no reply',
  speechless: 'accepts a connection, says nothing',
  other: 'another protocol',
  'snmp-silent': 'no reply',
  'snmp-refused': 'refused',
  'snmp-rejected': 'credential rejected',
};

/** A wrong credential leaves the path as it is: only services that carry something end it. */
const SNMP_OUT: ReadonlySet<ServiceState['state']> = new Set([
  'snmp-silent',
  'snmp-refused',
  'snmp-rejected',
]);

export function serviceFacts(s: Situation, answerer: Answerer): Fact[] {
  const told = new Set<string>();
  return s.endpoint.services.map((service, index): Fact => {
    const port = `${service.protocol} port ${service.port}`;
    const stated: Stated = {
      fact: 'service',
      service: service.name,
      planned: serviceAt(service.name, service.protocol, service.port),
    };
    const state = s.services[index];
    if (state === undefined) return open(stated, 'not-asked', 'it was not asked');
    if (answerer === 'planned') {
      const fact = judge(s, state, stated);
      const first = !told.has(port);
      if (fact.findings.length > 0) told.add(port);
      return first ? fact : { ...fact, findings: [] };
    }
    return beside(s, stated, answerer, state);
  });
}

function judge(s: Situation, one: ServiceState, stated: Stated): Fact {
  const { service, state, detail, mend } = one;
  const vantage = s.best?.evidence.vantage.name;
  const said = detail === undefined || detail === '' ? '' : ` (${detail})`;
  switch (state) {
    case 'proven':
      return matching(stated, '', { vantage, measured: detail ?? 'proven' });
    case 'open':
      return matching(
        stated,
        `${service.name} was proven by an accepted connection alone${detail === undefined ? '' : `: ${detail}`}`,
        { vantage, measured: 'accepts connections', cause: state },
      );
    case 'unprovable':
      return open(
        stated,
        state,
        `${service.name} (${service.protocol} ${service.port}) could not be proven: ${detail ?? ''}`,
        { vantage },
      );
    case 'not-asked':
    case 'cut-short':
      return open(stated, state, `${service.name} ${PHRASE[state]}: ${detail ?? ''}`, {
        vantage,
        path: 'open',
        mend,
      });
    case 'doubtful':
      return open(stated, state, `${service.name} ${PHRASE.doubtful}${said}`, { vantage, path: 'open' });
    default:
      return differing(stated, state, `${service.name} ${PHRASE[state]}${said}`, {
        vantage,
        measured: `${MEASURED[state] ?? state}${said}`,
        evidence: [seenBy(s, `${service.protocol} port ${service.port}`)],
        findings: [serviceFinding(s, one)],
        ...(SNMP_OUT.has(state) ? {} : { path: 'ends' as const }),
        parts: [
          { field: 'services', planned: stated.planned, measured: `${MEASURED[state] ?? state}${said}` },
        ],
      });
  }
}

/** What was heard there says nothing of the planned device. */
function beside(
  s: Situation,
  stated: Stated,
  answerer: Exclude<Answerer, 'planned'>,
  { state, detail }: ServiceState,
): Fact {
  const vantage = s.best?.evidence.vantage.name;
  switch (answerer) {
    case 'other-device':
      return open(stated, answerer, 'what answers there is another device', { vantage });
    case 'shared-address':
      return open(stated, answerer, 'two devices answer there, so neither is proven', { vantage });
    case 'nobody-there':
      return absent(stated, answerer, 'nobody answers at its address', { vantage });
    case 'open':
      return open(stated, state, detail ?? 'it could not be asked from here', { vantage });
  }
}

function serviceFinding(s: Situation, state: ServiceState): Finding {
  const { endpoint } = s;
  const { service, detail } = state;
  const claimedOnly = s.claimed.byDevice && s.services.every((one) => !works(one) && one.state !== 'refused');
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
      seenBy(
        s,
        `${service.protocol} port ${service.port} at ${base.address}: ${state.state === 'snmp-silent' ? 'no answer' : PHRASE[state.state]}${detail === undefined ? '' : ` (${detail})`}`,
      ),
    ],
  };
  switch (state.state) {
    case 'refused':
    case 'snmp-refused':
      return finding('service-refused', endpoint.id, base, more);
    case 'other':
      return finding('service-other', endpoint.id, base, more);
    case 'snmp-silent':
      return claimedOnly && s.best?.sighting.icmp.outcome !== 'replied'
        ? finding('service-missing', endpoint.id, { ...base, kind: 'claimed-only' }, more)
        : snmpFinding(s, true, 'silent', detail);
    case 'snmp-rejected':
      return snmpFinding(s, true, 'rejected', detail);
    default:
      return finding(
        'service-missing',
        endpoint.id,
        {
          ...base,
          kind:
            state.state === 'speechless'
              ? 'speechless'
              : claimedOnly && s.best?.sighting.icmp.outcome !== 'replied'
                ? 'claimed-only'
                : 'silent',
        },
        more,
      );
  }
}

/** A credential was used and brought nothing, though the service itself is not in doubt or not planned. A note. */
export function snmpNote(s: Situation): Finding[] {
  const snmp = s.best?.sighting.snmp;
  if (snmp === undefined || snmp.outcome === 'replied' || snmp.outcome === 'not-run') return [];
  const planned = s.services.find(({ service }) => isSnmpService(service));
  if (planned !== undefined && !works(planned)) return [];
  return [snmpFinding(s, false, snmp.outcome, snmp.detail)];
}

function snmpFinding(
  s: Situation,
  planned: boolean,
  outcome: 'no-reply' | 'refused' | 'unreachable' | 'rejected' | 'silent',
  detail: string | undefined,
): Finding {
  const { endpoint, best } = s;
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
      evidence: [seenBy(s, `SNMP at ${address}: ${outcome}${detail === undefined ? '' : ` (${detail})`}`)],
    },
  );
}
