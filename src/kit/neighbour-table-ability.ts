import type { Abilities } from '../sighting/types.js';
import type { AbilityDeps } from './abilities.js';

export async function findNeighbourTable({ system }: AbilityDeps): Promise<Abilities['neighbourTable']> {
  const read = await system.neighbours();
  if (read.ok) return { able: true };
  return {
    able: false,
    cause: 'not-installed',
    reason: read.reason,
    ...(system.platform === 'linux' ? { mend: 'sudo apt-get install iproute2' } : {}),
  };
}
