/** The port in the text of a link-local address, as this system's sockets and programs take it (RFC 4007 §11). */
import { needsZone } from '../plan/address.js';
import type { SystemDeps } from './types.js';

type Here = Pick<SystemDeps, 'platform' | 'networkInterfaces'>;

/** `fe80::1%eth0`, `fe80::1%en0`; on Windows the port's number, which Node tells: `fe80::1%12`. Any other address as it is. */
export function zoned(system: Here, address: string, port: string | undefined): string {
  return port === undefined || !needsZone(address) ? address : `${address}%${zoneOf(system, port)}`;
}

export function zoneOf({ platform, networkInterfaces }: Here, port: string): string {
  if (platform !== 'win32') return port;
  const rows = networkInterfaces()[port] ?? [];
  const zone = rows.map((row) => (row.family === 'IPv6' ? row.scopeid : 0)).find((id) => id > 0);
  return zone === undefined ? port : String(zone);
}
