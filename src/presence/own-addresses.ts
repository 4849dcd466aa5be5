/** Another holder of one of the laptop's own addresses spoils every answer. A system does not ask for its own, so that is done here. */
import { familyOf, parseCidr } from '../plan/address.js';
import type { Vantage } from '../sighting/types.js';
import type { Programs } from '../system/program-types.js';
import { arpingProbeArguments, parseArpingOutput } from './arping-output.js';
import type { Listener } from './listen.js';
import { type AddressRecord, addClaim, macsOf, newRecord } from './record.js';
import { takeFrame } from './take-frame.js';

export interface OwnClaimed {
  readonly address: string;
  readonly macs: readonly string[];
}

export interface OwnWatch {
  /** Who else claimed one of them, asked or unasked. Waits for the question that is still out, and ends the watch. Never rejects. */
  ended(): Promise<OwnClaimed[]>;
}

/** One question a second apart from nothing: an answer comes in milliseconds, the program waits for the second. */
const QUESTIONS = 1;
const TIMEOUT_MS = 3000;

/** Asks once for each IPv4 address of these ports by arping, where that is able, and hears what is claimed without being asked. */
export function watchOwnAddresses(
  vantage: Pick<Vantage, 'interfaces' | 'abilities'>,
  ports: readonly string[],
  { programs, listener }: { readonly programs: Programs; readonly listener: Listener },
  signal: AbortSignal,
): OwnWatch {
  const records = ownRecords(vantage, ports);
  const byAddress = new Map(records.map((record) => [record.address, record]));
  const ownMacs = new Set(vantage.interfaces.map(({ mac }) => mac));
  const unsubscribe = listener.subscribe((heard) => {
    const record = byAddress.get(heard.address);
    if (record !== undefined) takeFrame(record, heard, ownMacs);
  });
  const { arping } = vantage.abilities;
  const flavour = arping.able ? (arping.flavour ?? 'common') : undefined;
  const asking = records.map(async (record) => {
    if (flavour === undefined || familyOf(record.address) === 6) return;
    const args = arpingProbeArguments(flavour, record.port, record.address, QUESTIONS);
    const result = await programs.run('arping', args, { timeoutMs: TIMEOUT_MS, signal });
    if (!result.ran) return;
    for (const answer of parseArpingOutput(result.stdout, record.address))
      if (!ownMacs.has(answer.mac)) addClaim(record, { ...answer, method: 'arping' });
  });
  return {
    ended: async () => {
      await Promise.allSettled(asking);
      unsubscribe();
      return records.flatMap((record) => {
        const macs = macsOf(record).filter((mac) => !ownMacs.has(mac));
        return macs.length === 0 ? [] : [{ address: record.address, macs }];
      });
    },
  };
}

function ownRecords(vantage: Pick<Vantage, 'interfaces'>, ports: readonly string[]): AddressRecord[] {
  return vantage.interfaces
    .filter(({ name, up, mac }) => up && mac !== '' && ports.includes(name))
    .flatMap(({ name, mac, addresses }) =>
      addresses.flatMap((text) => {
        const address = parseCidr(text)?.address;
        return address === undefined ? [] : [newRecord(address, name, mac)];
      }),
    );
}
