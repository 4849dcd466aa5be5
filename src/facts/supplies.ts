/** Power supplies of a device against the feeds that the plan gives it. Findings of the device; the cell of an inlet is light.ts. */

import type { Cables } from '../cabling/cables.js';
import { suppliesOf } from '../cabling/power.js';
import { type Finding, finding } from '../findings/index.js';
import { inWords } from '../text/sentence.js';

/** Nothing is said of a device for which the plan has neither feeds nor inlets, nor of one whose agents tell no supply. */
export function supplyFindings(cables: Cables, device: string): Finding[] {
  const inlets = cables.endpointsOf(device).filter(({ role }) => role === 'power');
  const feeds = cables.device(device)?.feeds ?? [];
  const planned = Math.max(inlets.length, new Set(feeds).size);
  const seen = suppliesOf(cables, device);
  if (planned === 0 || seen === undefined) return [];
  const { supplies, by } = seen;
  const working = supplies.filter(({ state }) => state === 'working').length;
  const down = supplies.filter(({ state }) => state === 'not-working').map(({ name }) => name);
  const evidence = supplies.map(({ name, state }) => `${by}: ${name} is ${inWords(state)}`);
  const more = { evidence, about: inlets.map(({ id }) => id) };
  // A supply that the plan feeds nothing may be without power by intent.
  if (down.length > 0 && working < planned)
    return [finding('power-supply-down', device, { device, down, working, planned, feeds, by }, more)];
  const known = supplies.every(({ state }) => state !== 'unknown');
  if (known && supplies.length < planned)
    return [
      finding('power-supply-missing', device, { device, present: supplies.length, planned, feeds, by }, more),
    ];
  return [];
}
