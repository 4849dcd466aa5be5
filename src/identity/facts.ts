/** What a device says of itself, arranged by the identity fields that a plan can state. */
import type { PlannedIdentity } from '../plan/model.js';
import type { IdentitySighting } from '../sighting/types.js';

export const IDENTITY_FIELDS = [
  'sysName',
  'sysDescr',
  'serial',
  'title',
  'server',
  'certificate',
  'ssh',
  'uuid',
  'product',
  'vendor',
] as const satisfies readonly (keyof PlannedIdentity)[];

export type IdentityField = (typeof IDENTITY_FIELDS)[number];

export const FIELD_NAMES: Readonly<Record<IdentityField, string>> = {
  sysName: 'sysName',
  sysDescr: 'sysDescr',
  serial: 'serial number',
  title: 'web title',
  server: 'web server',
  certificate: 'certificate name',
  ssh: 'SSH line',
  uuid: 'Redfish UUID',
  product: 'Redfish product',
  vendor: 'Redfish vendor',
};

/** Every value measured for a field; empty where it was not measured. */
export function measured(identity: IdentitySighting, field: IdentityField): readonly string[] {
  const { http, https, certificate, ssh, snmp, redfish } = identity;
  switch (field) {
    case 'sysName':
      return some(snmp?.sysName);
    case 'sysDescr':
      return some(snmp?.sysDescr);
    case 'serial':
      return snmp?.serials ?? [];
    case 'title':
      return some(https?.title, http?.title);
    case 'server':
      return some(https?.server, http?.server);
    case 'certificate':
      return certificate === undefined
        ? []
        : [
            certificate.subject,
            ...commonNames(certificate.subject),
            ...certificate.altNames.flatMap((name) => [
              name,
              name.replace(/^(?:DNS|IP Address|IP):\s*/i, ''),
            ]),
          ];
    case 'ssh':
      return some(ssh?.line);
    case 'uuid':
      return some(redfish?.uuid);
    case 'product':
      return some(redfish?.product);
    case 'vendor':
      return some(redfish?.vendor);
  }
}

/** The most telling things a device says of itself, for a sentence about an unknown one. */
export function selfDescription(identity: IdentitySighting): string[] {
  return IDENTITY_FIELDS.flatMap((field) => {
    const value = measured(identity, field)[0];
    return value === undefined ? [] : [`${FIELD_NAMES[field]} "${value}"`];
  });
}

function some(...values: readonly (string | undefined)[]): string[] {
  return values.filter((value) => value !== undefined && value !== '') as string[];
}

/** `CN=vault-1-a, O=Example` or one attribute a line: the common name alone. */
function commonNames(subject: string): string[] {
  return [...subject.matchAll(/(?:^|[,\n/+]\s*| )CN\s*=\s*([^,\n/+]+)/gi)].map((match) =>
    (match[1] ?? '').trim(),
  );
}
