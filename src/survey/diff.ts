/** What is new, gone and moved between a survey and a later look. Pure. */

import type { Survey } from '../matrix/survey.js';
import { compareAddresses } from '../plan/address.js';

/** One address at the later look. Addresses that were not asked, or could not be, are left out. */
export interface LaterLook {
  readonly macs: readonly string[];
  readonly answers: boolean;
}

export interface SurveyChange {
  readonly kind: 'new' | 'gone' | 'moved' | 'same';
  readonly address: string;
  readonly before: readonly string[];
  readonly now: readonly string[];
  /** `moved`: where the device of the survey answers now. */
  readonly movedTo?: string | undefined;
}

/**
 * new: answers now, and was asked and silent then. gone: answered then, asked and silent now. moved: another MAC holds the address
 * now, or the MAC that held it answers elsewhere. An address that one of the two did not ask is in none of them.
 */
export function diffSurvey(
  before: Survey,
  now: ReadonlyMap<string, LaterLook>,
  wasAsked: (address: string) => boolean = (address) => before.silent.includes(address),
): SurveyChange[] {
  const places = new Map<string, string[]>();
  for (const [address, { macs, answers }] of now)
    if (answers) for (const mac of macs) places.set(mac, [...(places.get(mac) ?? []), address]);
  const known = new Map(before.entries.map((entry) => [entry.address, entry]));
  const changes: SurveyChange[] = [];
  for (const entry of before.entries) {
    const later = now.get(entry.address);
    if (later === undefined) continue;
    const movedTo = entry.macs
      .flatMap((mac) => places.get(mac) ?? [])
      .filter(
        (address) =>
          address !== entry.address && !known.get(address)?.macs.some((mac) => entry.macs.includes(mac)),
      )
      .sort(compareAddresses)[0];
    const base = { address: entry.address, before: entry.macs, now: later.answers ? later.macs : [] };
    const kept =
      entry.macs.length === 0 ||
      later.macs.length === 0 ||
      later.macs.some((mac) => entry.macs.includes(mac));
    if (later.answers && kept) changes.push({ kind: 'same', ...base });
    else if (later.answers || movedTo !== undefined) changes.push({ kind: 'moved', ...base, movedTo });
    else changes.push({ kind: 'gone', ...base });
  }
  for (const [address, { macs, answers }] of now)
    if (answers && !known.has(address) && wasAsked(address))
      changes.push({ kind: 'new', address, before: [], now: macs });
  return changes.sort((a, b) => compareAddresses(a.address, b.address));
}
