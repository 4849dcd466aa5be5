import type { TableRow } from '../system/types.js';
import { isFresh } from './freshness.js';
import { type AddressRecord, addClaim, macsOf } from './record.js';

/** Takes the rows of one reading into the records they are about. `atMs` is the clock just before the reading. */
export function takeRows(records: Iterable<AddressRecord>, rows: readonly TableRow[], atMs: number): void {
  const byAddress = new Map<string, TableRow[]>();
  for (const row of rows) byAddress.set(row.address, [...(byAddress.get(row.address) ?? []), row]);
  for (const record of records) {
    const row = byAddress.get(record.address)?.find((each) => isOnPort(each, record.port));
    if (record.ownMac !== undefined || record.lastSentMs === undefined) continue;
    record.row = row;
    if (row === undefined) continue;
    // The kernel has it on its list: the datagram did become a question.
    record.questionMs ??= record.lastSentMs;
    record.methods.add('neighbour-table');
    if (row.mac === undefined || !isFresh(row, atMs, record.before, record.openedAtMs ?? atMs)) continue;
    // A row stays for a minute: reading it twice is no second answer.
    const known = [...record.claims.values()].some(
      (claim) => claim.method === 'neighbour-table' && claim.mac === row.mac,
    );
    if (!known) addClaim(record, { mac: row.mac, method: 'neighbour-table' });
  }
}

/** Windows `arp -a` has no names of ports; there the address alone decides. */
export function isOnPort(row: TableRow, port: string): boolean {
  return row.interface === undefined || row.interface === port || row.interfaceAddress !== undefined;
}

/** A row from before that nobody has confirmed yet, and that the kernel has not given up. */
export function hasOldRow(record: AddressRecord): boolean {
  return (
    record.before !== undefined &&
    macsOf(record).length === 0 &&
    record.row?.state !== 'failed' &&
    record.row?.mac !== undefined
  );
}
