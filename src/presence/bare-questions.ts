/** Questions that the kernel is made to put with nothing behind them, where the system can do that: a frame each instead of two. */
import { familyOf } from '../plan/address.js';
import type { System } from '../system/types.js';
import type { AddressRecord } from './record.js';

export interface BareQuestions {
  able(): boolean;
  /** All of these can be asked so. */
  fits(records: readonly AddressRecord[]): boolean;
  /** Gives back those that have to be asked in another way. */
  ask(records: readonly AddressRecord[]): readonly AddressRecord[];
  /** It is silent, and what was asked is enough. */
  giveUp(record: AddressRecord): void;
  close(): void;
}

export function openBareQuestions(system: System, mayClear: boolean): BareQuestions {
  const asker = mayClear ? system.neighbourAsker?.() : undefined;
  let able = asker !== undefined;
  const asked = new Set<AddressRecord>();
  void asker?.over.then(() => {
    able = false;
    // Whether these were put nobody knows, where the system did not show it since.
    for (const record of asked) {
      if (record.done || record.questionMs !== undefined) continue;
      record.sent = 0;
      record.asked = 0;
    }
  });
  return {
    able: () => able,
    fits: (records) => able && records.every(isFitting),
    ask: (records) => {
      const ports = new Map<string, AddressRecord[]>();
      for (const record of able ? records.filter(isFitting) : [])
        ports.set(record.port, [...(ports.get(record.port) ?? []), record]);
      const put = new Set<AddressRecord>();
      for (const [port, those] of ports) {
        if (
          asker?.ask(
            port,
            those.map(({ address }) => address),
          ) !== true
        )
          continue;
        for (const record of those) {
          put.add(record);
          asked.add(record);
        }
      }
      return records.filter((record) => !put.has(record));
    },
    giveUp: (record) => {
      if (asked.has(record)) asker?.giveUp(record.port, record.address);
    },
    close: () => asker?.close(),
  };
}

function isFitting({ address }: AddressRecord): boolean {
  return familyOf(address) === 4;
}
