import type { Programs } from '../system/program-types.js';
import type { Datagrams } from './datagrams.js';
import { type AddressRecord, addClaim } from './record.js';
import { hasOldRow } from './take-table.js';

const TIMEOUT_MS = 1500;

/**
 * A row from before that can not be cleared is made fresh by the device itself: frames to its MAC that are answered from its address,
 * by a UDP "port unreachable" or an echo reply.
 */
export async function confirmOldRow(
  record: AddressRecord,
  deps: {
    /** As sockets and programs take it, with its port where it needs one. */
    readonly address: string;
    readonly programs: Programs;
    readonly platform: string;
    readonly datagrams: Datagrams;
    readonly ping: boolean;
  },
  signal: AbortSignal,
): Promise<void> {
  const answers = [deps.datagrams.provoke(deps.address, TIMEOUT_MS, signal).then((how) => how === 'alive')];
  if (deps.ping) answers.push(echo(deps, signal));
  await Promise.all(
    answers.map(async (answer) => {
      const mac = record.row?.mac ?? record.before?.row.mac;
      if ((await answer) && mac !== undefined && hasOldRow(record))
        addClaim(record, { mac, method: 'neighbour-table' });
    }),
  );
}

async function echo(
  {
    address,
    programs,
    platform,
  }: { readonly address: string; readonly programs: Programs; readonly platform: string },
  signal: AbortSignal,
): Promise<boolean> {
  const command = platform === 'darwin' && address.includes(':') ? 'ping6' : 'ping';
  const args = platform === 'win32' ? ['-n', '1', '-w', '1000'] : ['-c', '1'];
  const result = await programs.run(command, [...args, address], { timeoutMs: TIMEOUT_MS, signal });
  // Windows ends with 0 for "Destination host unreachable" too; only a reply has a time to live (or, in IPv6, a time).
  return result.ran && result.exitCode === 0 && /\b(ttl|hlim)=|[=<]\s?\d+ ?ms/i.test(result.stdout);
}
