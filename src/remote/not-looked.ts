/** The evidence of a place that could not be looked from: nothing was asked, and why. Pure. */
import type { Evidence, Vantage } from '../sighting/types.js';
import type { RemotePlace } from './place.js';
import { type PlaceTrouble, troubleText } from './trouble.js';

export function notLooked(
  { name, ssh }: Pick<RemotePlace, 'name' | 'ssh'>,
  trouble: PlaceTrouble,
  run: {
    readonly stage: Evidence['stage'];
    readonly only?: readonly string[] | undefined;
    readonly startedAt: string;
    readonly finishedAt: string;
  },
): Evidence {
  const reason = troubleText(trouble);
  const unable = { able: false as const, cause: 'vantage-failed' as const, reason };
  const vantage: Vantage = {
    name,
    platform: '',
    interfaces: [],
    routes: [],
    abilities: { ping: unable, capture: unable, arping: unable, neighbourTable: unable, privileged: false },
    from: ssh,
  };
  return {
    vantage,
    startedAt: run.startedAt,
    finishedAt: run.finishedAt,
    stage: run.stage,
    ...(run.only === undefined ? {} : { only: run.only }),
    complete: true,
    failed: { cause: 'vantage-failed', reason },
    sightings: [],
    links: [],
    switches: [],
    fabrics: [],
    power: [],
    ownNeighbours: [],
    ownClaimed: [],
    proxyArp: [],
    attestations: [],
    drills: [],
    notes: [`Nothing was asked from ${name} (${ssh}): ${reason}.`],
  };
}
