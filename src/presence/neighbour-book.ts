import type { LldpNeighbour } from '../sighting/types.js';
import type { LinkFrame } from '../wire/ethernet.js';
import { decodeLldp, lldpNeighbour } from '../wire/lldp.js';

/** More devices than this do not speak on one cable. */
const LIMIT = 64;

/** LLDP neighbours heard on the laptop's own ports: the latest word of each chassis and port. */
export function createNeighbourList(ownMacs: ReadonlySet<string>): {
  add(port: string, frame: LinkFrame): void;
  list(): readonly LldpNeighbour[];
} {
  const heard = new Map<string, LldpNeighbour>();
  return {
    add: (port, frame) => {
      // A laptop with an LLDP agent of its own hears itself.
      if (ownMacs.has(frame.source)) return;
      const decoded = decodeLldp(frame.payload);
      if (!decoded.ok) return;
      const neighbour = lldpNeighbour(decoded.value, port);
      const key = JSON.stringify([port, neighbour.chassisId, neighbour.portId]);
      // IEEE 802.1AB §9.2.7.6 (shutdown): a time to live of 0 takes the neighbour back.
      if (neighbour.ttlSeconds === 0) heard.delete(key);
      else if (heard.size < LIMIT || heard.has(key)) heard.set(key, neighbour);
    },
    list: () => [...heard.values()],
  };
}
