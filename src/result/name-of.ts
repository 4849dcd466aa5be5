import type { EndpointSighting } from '../matrix/matrix.js';

/** What a device calls itself, the surest source first; undefined where it says nothing. */
export function nameOf({ identity }: Pick<EndpointSighting, 'identity'>): string | undefined {
  return [
    identity.snmp?.sysName,
    identity.redfish?.product,
    identity.https?.title,
    identity.http?.title,
    identity.certificate?.subject,
    identity.ssh?.line,
  ].find((name) => name !== undefined && name !== '');
}
