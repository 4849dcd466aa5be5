/** What of a planned identity no answer told, and whether anything else shows which device is at the address. */
import type { Endpoint } from '../plan/model.js';
import { isSnmpService } from '../plan/services.js';
import type { AddressSighting, SnmpSighting } from '../sighting/types.js';
import { list } from '../text/sentence.js';
import { FIELD_NAMES, type IdentityField } from './facts.js';

export interface Unread {
  /** `planned serial number not read: no credential in the plan`, one line for each reason. */
  readonly lines: readonly string[];
  /** Fields that nothing planned at this port could tell: a data port has neither an agent nor a web page. */
  readonly untold: readonly string[];
}

export function unreadOf(
  fields: readonly IdentityField[],
  endpoint: Endpoint,
  sighting: AddressSighting,
): Unread {
  const byReason = new Map<string, Set<string>>();
  const untold = new Set<string>();
  for (const field of fields) {
    const why = whyUnread(field, endpoint, sighting);
    if (why === undefined) untold.add(FIELD_NAMES[field]);
    else byReason.set(why, (byReason.get(why) ?? new Set()).add(FIELD_NAMES[field]));
  }
  return {
    lines: [...byReason].map(([why, names]) => `planned ${list([...names])} not read: ${why}`),
    untold: [...untold],
  };
}

function whyUnread(
  field: IdentityField,
  { services, role, snmp: credential }: Endpoint,
  { snmp, proofs }: AddressSighting,
): string | undefined {
  const from = (names: readonly string[], lacking: string): string | undefined => {
    const asked = services.filter(({ name }) => names.includes(name));
    if (asked.length === 0) return undefined;
    const proven = proofs.some(
      ({ outcome, service, port }) =>
        outcome === 'proven' && asked.some((one) => one.name === service && one.port === port),
    );
    return proven ? lacking : `${list(asked.map(({ name }) => name))} told nothing`;
  };
  switch (field) {
    case 'sysName':
    case 'sysDescr':
    case 'serial':
      return snmp.outcome !== 'not-run' ||
        credential !== undefined ||
        role === 'management' ||
        role === 'switch' ||
        services.some(isSnmpService)
        ? whyNoSnmp(snmp)
        : undefined;
    case 'title':
    case 'server':
      return from(['http', 'https'], 'the web page has none');
    case 'certificate':
      return from(['https'], 'the certificate could not be read');
    case 'ssh':
      return from(['ssh', 'netconf-ssh'], 'the SSH line could not be read');
    case 'uuid':
    case 'product':
    case 'vendor':
      return from(['https'], 'no Redfish root tells it');
  }
}

function whyNoSnmp(snmp: SnmpSighting): string {
  switch (snmp.outcome) {
    case 'not-run':
      return snmp.reason;
    case 'replied':
      return 'SNMP answers and does not tell it';
    case 'rejected':
      return `SNMP rejects the credential ${snmp.credential}`;
    case 'refused':
      return 'SNMP refuses';
    case 'no-reply':
    case 'unreachable':
      return `SNMP does not answer (credential ${snmp.credential})`;
  }
}
