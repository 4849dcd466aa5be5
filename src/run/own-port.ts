/** What the switch at the other end of the laptop's own cable says of itself (IEEE 802.1AB), as sentences for the result. Pure. */
import type { LldpNeighbour } from '../sighting/types.js';

export function ownPortNotes(neighbours: readonly LldpNeighbour[]): string[] {
  return neighbours.map((neighbour) => {
    const { localPort, chassisId, portId, portDescription, sysName, vlan } = neighbour;
    const port =
      portDescription === undefined || portDescription === portId ? portId : `${portId} (${portDescription})`;
    const name = sysName ?? chassisId;
    return `This laptop's ${localPort} is cabled to port ${port} of ${name}${vlan === undefined ? '' : `, VLAN ${vlan}`}, as ${name} says by LLDP.`;
  });
}
