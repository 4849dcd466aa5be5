/** A later look at some devices laid over an earlier one at all of them. */
import type { Evidence } from '../sighting/types.js';
import { laterTime } from '../text/time.js';

/** `later.only` says which devices were looked at again; what they told before is replaced, all else stays. */
export function mergeEvidence(earlier: Evidence, later: Evidence): Evidence {
  const again = new Set(later.only ?? []);
  const looked = new Map(later.sightings.map((sighting) => [sighting.address, sighting]));
  const kept = earlier.sightings.map((sighting) => looked.get(sighting.address) ?? sighting);
  const known = new Set(earlier.sightings.map(({ address }) => address));
  const asked = new Set(later.proxyArp.map(({ network }) => network));
  return {
    ...earlier,
    vantage: later.vantage,
    finishedAt: laterTime(earlier.finishedAt, later.finishedAt),
    sightings: [...kept, ...later.sightings.filter(({ address }) => !known.has(address))],
    links: [...earlier.links.filter(({ device }) => !again.has(device)), ...later.links],
    switches: [...earlier.switches.filter((tables) => !again.has(tables.switch)), ...later.switches],
    ownNeighbours: later.ownNeighbours.length > 0 ? later.ownNeighbours : earlier.ownNeighbours,
    proxyArp: [...earlier.proxyArp.filter(({ network }) => !asked.has(network)), ...later.proxyArp],
    notes: [...new Set([...earlier.notes, ...later.notes])],
  };
}

/** A later look at everything: it stands for the earlier one, and the run goes on. */
export function laidOver(earlier: Evidence, later: Evidence): Evidence {
  return {
    ...later,
    startedAt: earlier.startedAt,
    finishedAt: laterTime(earlier.finishedAt, later.finishedAt),
  };
}
