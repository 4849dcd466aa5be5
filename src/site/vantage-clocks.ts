/** Whether the places that were looked from have the same time: by what they told themselves, and by what devices told each of them. */

import type { View } from '../evidence/view.js';
import { type Finding, finding } from '../findings/index.js';
import { seenLine } from '../sighting/evidence-line.js';
import type { Evidence } from '../sighting/types.js';

/** Less does not matter to anybody who reads logs (common practice, no source). */
const CLOCK_SECONDS = 60;
/** Devices that told two places the same difference agree within this. */
const AGREE_SECONDS = 30;

export function judgeVantageClocks({ evidence }: View): Finding[] {
  const ordered = [...evidence]
    .filter(({ failed }) => failed === undefined)
    .sort((a, b) => compareText(a.vantage.name, b.vantage.name) || compareText(a.startedAt, b.startedAt));
  const told = ordered.flatMap(({ vantage, startedAt }) => {
    const { name, clockAheadSeconds: aheadSeconds } = vantage;
    if (aheadSeconds === undefined || Math.abs(aheadSeconds) < CLOCK_SECONDS) return [];
    const facts = { vantage: name, other: 'the laptop', aheadSeconds, by: [] };
    const line = { who: name, at: startedAt, text: `its clock was ${aheadSeconds} s ahead` };
    return [finding('vantage-clock-differs', name, facts, { evidence: [line] })];
  });
  const [reference, ...others] = ordered.filter((one) => clocksOf(one).size > 0);
  if (reference === undefined) return told;
  return [
    ...told,
    ...others.flatMap((one) => {
      const apart = between(reference, one);
      if (apart === undefined || Math.abs(apart.aheadSeconds) < CLOCK_SECONDS) return [];
      const { name } = one.vantage;
      if (told.some(({ subject }) => subject === name) || name === reference.vantage.name) return [];
      return [
        finding(
          'vantage-clock-differs',
          name,
          { vantage: name, other: reference.vantage.name, ...apart },
          {
            evidence: [
              seenLine(
                one,
                `its clock is ${apart.aheadSeconds} s from that of ${reference.vantage.name} (${reference.startedAt})`,
              ),
            ],
          },
        ),
      ];
    }),
  ];
}

/** A device that is ahead of the one by ten minutes and of the other by none: the other is ten minutes ahead of the one. */
function between(
  a: Evidence,
  b: Evidence,
): { readonly aheadSeconds: number; readonly by: string[] } | undefined {
  const [of, other] = [clocksOf(a), clocksOf(b)];
  const shared = [...of].flatMap(([address, ahead]) => {
    const there = other.get(address);
    return there === undefined ? [] : [{ address, apart: ahead - there }];
  });
  const values = shared.map(({ apart }) => apart).sort((x, y) => x - y);
  const [least, most] = [values[0], values.at(-1)];
  if (least === undefined || most === undefined || most - least > AGREE_SECONDS) return undefined;
  return {
    aheadSeconds: Math.round(values[Math.floor(values.length / 2)] ?? least),
    by: shared.map(({ address }) => address).sort(),
  };
}

function clocksOf({ sightings }: Evidence): ReadonlyMap<string, number> {
  return new Map(
    sightings.flatMap(({ address, identity: { http, https } }) => {
      const ahead = https?.clockAheadSeconds ?? http?.clockAheadSeconds;
      return ahead === undefined ? [] : [[address, ahead] as const];
    }),
  );
}

function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
