/** What of a planned identity no answer told, and whether anything else shows which box is at the address. */
import type { Endpoint, PlannedService } from '../../plan/model.js';
import type { AddressSighting, SnmpSighting } from '../../sighting/types.js';
import { list } from '../../text/sentence.js';
import { FIELD_NAMES, type IdentityField } from './facts.js';

/** `planned serial number not read: no credential in the plan`, one line for each reason. */
export function unreadLines(
  fields: readonly IdentityField[],
  endpoint: Endpoint,
  sighting: AddressSighting,
): string[] {
  const byReason = new Map<string, Set<string>>();
  for (const field of fields) {
    const why = whyUnread(field, endpoint.services, sighting);
    byReason.set(why, (byReason.get(why) ?? new Set()).add(FIELD_NAMES[field]));
  }
  return [...byReason].map(([why, names]) => `planned ${list([...names])} not read: ${why}`);
}

function whyUnread(
  field: IdentityField,
  services: readonly PlannedService[],
  { snmp, proofs }: AddressSighting,
): string {
  const from = (names: readonly string[], source: string, lacking: string): string => {
    const asked = services.filter(({ name }) => names.includes(name));
    if (asked.length === 0) return `no ${source} is planned here`;
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
      return whyNoSnmp(snmp);
    case 'title':
    case 'server':
      return from(['http', 'https'], 'web service', 'the web page has none');
    case 'certificate':
      return from(['https'], 'https service', 'the certificate could not be read');
    case 'ssh':
      return from(['ssh', 'netconf-ssh'], 'ssh service', 'the SSH line could not be read');
    case 'uuid':
    case 'product':
    case 'vendor':
      return from(['https'], 'https service', 'no Redfish root tells it');
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
