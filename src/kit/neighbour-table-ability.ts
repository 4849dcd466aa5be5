import { readTable } from '../presence/neighbour-table.js';
import type { Abilities } from '../sighting/types.js';
import type { AbilityDeps } from './abilities.js';

export async function findNeighbourTable(deps: AbilityDeps): Promise<Abilities['neighbourTable']> {
  const read = await readTable(deps, 'quick');
  if (read.ok) return { able: true };
  return {
    able: false,
    reason: read.reason,
    ...(deps.platform === 'linux' ? { mend: 'sudo apt-get install iproute2' } : {}),
  };
}
