/** Another holder of one of the laptop's own addresses spoils every answer. A system does not ask for its own, so that is done here. */

import { setTimeout as sleep } from 'node:timers/promises';
import { familyOf, parseCidr } from '../plan/address.js';
import { within } from '../probe/bound.js';
import type { Clock } from '../probe/types.js';
import type { Vantage } from '../sighting/types.js';
import type { Programs } from '../system/program-types.js';
import { arpingProbeArguments, parseArpingOutput } from './arping-output.js';
import type { Listener } from './listen.js';
import { type AddressRecord, addClaim, LATE_ANSWER_MS, macsOf, newRecord } from './record.js';
import { takeFrame } from './take-frame.js';

export interface OwnClaimed {
  readonly address: string;
  readonly macs: readonly string[];
}

export interface OwnWatch {
  /** Who else claimed one of them, asked or unasked. Waits for answers to the question that is still out, and ends the watch. Never rejects. */
  ended(): Promise<OwnClaimed[]>;
}

/** One question a second apart from nothing: an answer comes in milliseconds, the program waits for the second. */
const QUESTIONS = 1;
const TIMEOUT_MS = 3000;

/** Asks once for each IPv4 address of these ports by arping, where that is able, and hears what is claimed without being asked. */
export function watchOwnAddresses(
  vantage: Pick<Vantage, 'interfaces' | 'abilities'>,
  ports: readonly string[],
  deps: { readonly programs: Programs; readonly listener: Listener; readonly clock: Pick<Clock, 'now'> },
  signal: AbortSignal,
): OwnWatch {
  const { programs, listener, clock } = deps;
  const over = within(signal);
  const records = ownRecords(vantage, ports);
  const byAddress = new Map(records.map((record) => [record.address, record]));
  const ownMacs = new Set(vantage.interfaces.map(({ mac }) => mac));
  const unsubscribe = listener.subscribe((heard) => {
    const record = byAddress.get(heard.address);
    if (record !== undefined) takeFrame(record, heard, ownMacs);
  });
  const { arping } = vantage.abilities;
  const flavour = arping.able ? (arping.flavour ?? 'common') : undefined;
  const askable = flavour === undefined ? [] : records.filter(({ address }) => familyOf(address) === 4);
  const asking = askable.map(async (record) => {
    if (flavour === undefined) return;
    const args = arpingProbeArguments(flavour, record.port, record.address, QUESTIONS);
    const result = await programs.run('arping', args, {
      timeoutMs: TIMEOUT_MS,
      signal: over.signal,
    });
    if (!result.ran) return;
    for (const answer of parseArpingOutput(result.stdout, record.address))
      if (!ownMacs.has(answer.mac)) addClaim(record, { ...answer, method: 'arping' });
  });
  return {
    ended: async () => {
      await Promise.race([Promise.allSettled(asking), answersHeard(askable, clock, over.signal)]);
      over.end();
      await Promise.allSettled(asking);
      unsubscribe();
      return records.flatMap((record) => {
        const macs = macsOf(record).filter((mac) => !ownMacs.has(mac));
        return macs.length === 0 ? [] : [{ address: record.address, macs }];
      });
    },
  };
}

/** A capture that heard a question hears its answers too, and need not wait until the program has slept. */
async function answersHeard(
  records: readonly AddressRecord[],
  clock: Pick<Clock, 'now'>,
  over: AbortSignal,
): Promise<void> {
  const sinceMs = Math.max(...records.map(({ firstHeardMs = Number.POSITIVE_INFINITY }) => firstHeardMs));
  const waitMs = sinceMs + LATE_ANSWER_MS - clock.now();
  const untold = Number.isFinite(waitMs) ? Math.max(0, waitMs) : TIMEOUT_MS;
  await sleep(untold, undefined, { signal: over }).catch(() => {});
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
