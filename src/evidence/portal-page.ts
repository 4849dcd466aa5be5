/**
 * A page that answers for everything: behind a router one certificate, or one redirect away, at the addresses of two devices or more
 * (DESIGN 6). What such a page says proves no device, and is no witness that its network can be reached.
 */
import type { Plan } from '../plan/model.js';
import type { AddressSighting, Evidence } from '../sighting/types.js';

/** Address -> ports of it at which such a page answers, for one run. */
export function portalPages(plan: Plan, { sightings }: Evidence): Map<string, Set<number>> {
  const deviceAt = new Map(
    plan.endpoints.flatMap(({ address, device }) => (address === undefined ? [] : [[address, device]])),
  );
  const found = new Map<string, { devices: Set<string>; places: { address: string; port: number }[] }>();
  for (const sighting of sightings) {
    if (sighting.reach !== 'routed') continue;
    for (const { key, port } of marksOf(sighting)) {
      const entry = found.get(key) ?? { devices: new Set<string>(), places: [] };
      // An address that no device has, a default or a swept one, counts for itself.
      entry.devices.add(deviceAt.get(sighting.address) ?? sighting.address);
      entry.places.push({ address: sighting.address, port });
      found.set(key, entry);
    }
  }
  const pages = new Map<string, Set<number>>();
  for (const { devices, places } of found.values()) {
    if (devices.size < 2) continue;
    for (const { address, port } of places) pages.set(address, (pages.get(address) ?? new Set()).add(port));
  }
  return pages;
}

function marksOf({
  identity: { certificate, http, https },
}: AddressSighting): { key: string; port: number }[] {
  return [
    ...(certificate === undefined
      ? []
      : [{ key: `certificate ${certificate.fingerprint256}`, port: certificate.port }]),
    ...[http, https].flatMap((page) =>
      page?.location === undefined || !isAbsolute(page.location)
        ? []
        : [{ key: `redirect ${withoutQuery(page.location)}`, port: page.port }],
    ),
  ];
}

/** A redirect to a path of its own names no other place. */
function isAbsolute(location: string): boolean {
  return /^[a-z][a-z0-9+.-]*:\/\//i.test(location);
}

function withoutQuery(location: string): string {
  return location.split(/[?#]/)[0] ?? location;
}
