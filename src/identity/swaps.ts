import type { Endpoint } from '../plan/model.js';
import type { WrongDevice } from './wrong-device.js';

/** Endpoints that answer at each other's address: id -> the other's id. The same port name, then the same role, is preferred. */
export function swapsOf(
  endpoints: readonly Endpoint[],
  wrong: ReadonlyMap<string, WrongDevice>,
): Map<string, string> {
  const byId = new Map(endpoints.map((endpoint) => [endpoint.id, endpoint]));
  const swaps = new Map<string, string>();
  for (const [id, { owners }] of [...wrong].sort(([a], [b]) => (a < b ? -1 : 1))) {
    if (swaps.has(id)) continue;
    const mine = byId.get(id);
    const partner = owners
      .filter((other) => other !== id && !swaps.has(other) && wrong.get(other)?.owners.includes(id) === true)
      .map((other) => byId.get(other))
      .filter((other) => other !== undefined)
      .sort((a, b) => likeness(b, mine) - likeness(a, mine) || (a.id < b.id ? -1 : 1))[0];
    if (partner === undefined) continue;
    swaps.set(id, partner.id);
    swaps.set(partner.id, id);
  }
  return swaps;
}

function likeness(a: Endpoint, b: Endpoint | undefined): number {
  return (a.port === b?.port ? 2 : 0) + (a.role === b?.role ? 1 : 0);
}
