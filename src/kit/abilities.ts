/** What this laptop can do, found by doing it once, harmlessly. Each gap has a reason and, where there is one, the way to mend it. */
import type { Abilities, VantageInterface } from '../sighting/types.js';
import type { VantageDeps } from '../vantage/read.js';
import { findArping } from './arping-ability.js';
import { findCapture } from './capture-ability.js';
import { findNeighbourTable } from './neighbour-table-ability.js';
import { findPing } from './ping-ability.js';
import { findPrivilege } from './privilege.js';

export interface AbilityDeps
  extends Pick<VantageDeps, 'programs' | 'platform' | 'effectiveUser' | 'readText'> {
  readonly interfaces: readonly VantageInterface[];
}

/** Never rejects. Sends nothing beyond this machine but what the kernel sends by itself. */
export async function findAbilities(deps: AbilityDeps): Promise<Abilities> {
  const [ping, capture, arping, neighbourTable, privileged] = await Promise.all([
    findPing(deps),
    findCapture(deps),
    findArping(deps),
    findNeighbourTable(deps),
    findPrivilege(deps),
  ]);
  return { ping, capture, arping, neighbourTable, privileged };
}
