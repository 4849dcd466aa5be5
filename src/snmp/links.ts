/** The ports of one device as its own agent tells them: state, speed, MTU, MAC, addresses, Fibre Channel names. */
import { macFromBytes } from '../plan/mac.js';
import type { Probe, ResolvedSnmp } from '../probe/types.js';
import type { DeviceLinks, LinkSighting } from '../sighting/types.js';
import { TableReader } from './columns.js';
import { readInterfaces } from './if-mib.js';
import { readAddresses } from './ip-mib.js';
import { openSession } from './session.js';
import { bytesValue } from './values.js';

export interface LinksTarget {
  readonly address: string;
  readonly credential: ResolvedSnmp;
  readonly device: string;
  readonly controller?: string | undefined;
}

/** fcmPortWwn, indexed by ifIndex (FC-MGMT-MIB, RFC 4044). */
const FCM_PORT_WWN = '1.3.6.1.2.1.10.56.1.3.1.2';

/** `patience` is for one request. Whatever could not be read is told in `truncated`. */
export const readLinks: Probe<LinksTarget, DeviceLinks> = async (target, patience, signal) => {
  const { address, credential, device, controller } = target;
  const head = { device, ...(controller === undefined ? {} : { controller }), askedAt: address };
  if (signal.aborted) return { ...head, links: [], truncated: 'interrupted' };
  const session = openSession(address, credential, patience, signal);
  if ('unusable' in session) return { ...head, links: [], truncated: session.unusable };
  try {
    const reader = new TableReader(session);
    const interfaces = await readInterfaces(reader);
    const addresses = await readAddresses(reader);
    const names = new Map<number, string>();
    await reader.column('FC-MGMT-MIB', FCM_PORT_WWN, ([ifIndex], varbind) => {
      const name = bytesValue(varbind);
      // FcNameIdOrZero: 8 or 16 octets, or none (RFC 4044).
      if (ifIndex !== undefined && (name?.length === 8 || name?.length === 16))
        names.set(ifIndex, macFromBytes(name));
    });
    const links = [...interfaces.values()].map(({ ifAlias: _, ...one }): LinkSighting => {
      const wwn = names.get(one.ifIndex);
      return { ...one, addresses: addresses.get(one.ifIndex) ?? [], ...(wwn === undefined ? {} : { wwn }) };
    });
    const { truncated } = reader;
    return { ...head, links, ...(truncated === undefined ? {} : { truncated }) };
  } finally {
    session.close();
  }
};
