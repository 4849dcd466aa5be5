/** Speed of an endpoint's link: the slower of both ends, and of all members, against the plan. */
import { deviceUntold, unreadSwitch } from '../cabling/agents.js';
import type { Cables } from '../cabling/cables.js';
import type { CableSeen } from '../cabling/index.js';
import type { EndSpeed } from '../cabling/link-state.js';
import { sayPort } from '../cabling/port-name.js';
import { finding } from '../findings/index.js';
import type { Endpoint } from '../plan/model.js';
import { formatSpeed } from '../plan/speed.js';
import { type CableCause, sayUntold, unproven } from './cable-causes.js';
import { differing, type Fact, matching, type Stated } from './fact.js';
import type { LinkTold } from './link.js';

/**
 * Fibre Channel speeds as agents report them, in Mbit/s: the name of the generation, its line rate, and what is left of that after its
 * coding. Line rates of FC-PI-2 to FC-PI-7 (1GFC to 4GFC, 8GFC, 16GFC, 32GFC, 64GFC, 128GFC), from memory.
 */
const FIBRE_CHANNEL: readonly { readonly mbps: number; readonly told: readonly number[] }[] = [
  { mbps: 1000, told: [1062, 1063, 850] },
  { mbps: 2000, told: [2125, 1700] },
  { mbps: 4000, told: [4250, 3400] },
  { mbps: 8000, told: [8500, 6800] },
  { mbps: 10_000, told: [10_518, 10_519, 10_200] },
  { mbps: 16_000, told: [14_025, 13_600] },
  { mbps: 32_000, told: [28_050, 27_200] },
  { mbps: 64_000, told: [57_800, 56_100, 54_400] },
  { mbps: 128_000, told: [112_200, 108_800] },
];

/** The generation that a told speed stands for; of other media the speed as it is. */
function nominalMbps(media: Endpoint['media'], mbps: number): number {
  if (media !== 'fc') return mbps;
  return FIBRE_CHANNEL.find(({ told }) => told.includes(Math.round(mbps)))?.mbps ?? mbps;
}

/** Slowest of both ends, as it counts against the plan. */
export function slowestEnd(endpoint: Endpoint, { speeds }: CableSeen): EndSpeed | undefined {
  return speeds
    .map((speed) => ({ ...speed, mbps: nominalMbps(endpoint.media, speed.mbps) }))
    .sort((a, b) => a.mbps - b.mbps)[0];
}

export function speedFact(
  cables: Cables,
  endpoint: Endpoint,
  seen: CableSeen,
  link: LinkTold | undefined,
): Fact | undefined {
  const plannedMbps = endpoint.speedMbps;
  if (plannedMbps === undefined) return undefined;
  const stated: Stated = { fact: 'speed', planned: formatSpeed(plannedMbps) };
  if (link?.state === 'down')
    return unproven(stated, { cause: 'link-down', reason: 'its link is down, so it has no speed' });
  const slowest = slowestEnd(endpoint, seen);
  if (slowest === undefined)
    return unproven(
      stated,
      sayUntold('its speed', deviceUntold(cables, endpoint, seen.found), unreadSwitch(cables, endpoint)),
    );
  const by = sayEnd(slowest);
  const measured = formatSpeed(slowest.mbps);
  const evidence = [`${by} is up at ${measured}`];
  const more = { measured, evidence, vantage: slowest.vantage };
  if (slowest.mbps >= plannedMbps) return matching(stated, `${by} is up at ${measured}`, more);
  const cause: CableCause = seen.legs.length > 0 ? 'slower-leg' : 'slower';
  return differing(stated, cause, `${by} is up at ${measured}`, {
    ...more,
    findings: [
      finding(
        'speed-below-plan',
        endpoint.id,
        { endpoint: endpoint.id, plannedMbps, measuredMbps: slowest.mbps, by },
        { evidence, about: [endpoint.id] },
      ),
    ],
  });
}

function sayEnd({ at }: EndSpeed): string {
  return at.end === 'device' ? `${at.by}: ${sayPort(at.port)}` : `switch ${at.switch}: ${sayPort(at.port)}`;
}
