/** The ports of one device as its own agent tells them: state, speed, MTU, MAC, addresses, Fibre Channel names. */
import { macFromBytes } from '../plan/mac.js';
import type { Probe, ResolvedSnmp } from '../probe/types.js';
import type { DeviceLinks, LinkSighting } from '../sighting/types.js';
import { type Column, readingTables } from './columns.js';
import { INTERFACE_LIMIT, readInterfaces } from './if-mib.js';
import { addressColumns } from './ip-mib.js';
import { bytesValue } from './values.js';

export interface LinksTarget {
  readonly address: string;
  readonly credential: ResolvedSnmp;
  readonly device: string;
  readonly controller?: string | undefined;
}

/** fcmPortWwn, indexed by ifIndex (FC-MGMT-MIB, RFC 4044). */
const FCM_PORT_WWN = '1.3.6.1.2.1.10.56.1.3.1.2';

/** `patience` is for one request. Whatever could not be read is told in `truncated` and `cutBecause`. */
export const readLinks: Probe<LinksTarget, DeviceLinks> = async (target, patience, signal) => {
  const { address, device, controller } = target;
  const head = { device, ...(controller === undefined ? {} : { controller }), askedAt: address };
  const read = await readingTables(target, patience, signal, NONE, async (reader) => {
    const interfaces = await readInterfaces(reader);
    const { addresses, columns } = addressColumns();
    const names = new Map<number, string>();
    await reader.columns([...columns, portNames(names)]);
    const links = [...interfaces.values()].map(({ ifAlias: _, ...one }): LinkSighting => {
      const wwn = names.get(one.ifIndex);
      return { ...one, addresses: addresses.get(one.ifIndex) ?? [], ...(wwn === undefined ? {} : { wwn }) };
    });
    return { links };
  });
  return { ...head, ...read };
};

const NONE: Pick<DeviceLinks, 'links'> = { links: [] };

/** ifIndex -> Fibre Channel name. */
function portNames(names: Map<number, string>): Column {
  return {
    table: 'FC-MGMT-MIB',
    oid: FCM_PORT_WWN,
    read: ([ifIndex], varbind) => {
      const name = bytesValue(varbind);
      // FcNameIdOrZero: 8 or 16 octets, or none (RFC 4044).
      if (ifIndex !== undefined && (name?.length === 8 || name?.length === 16))
        names.set(ifIndex, macFromBytes(name));
    },
    maxRows: INTERFACE_LIMIT,
  };
}
