/** What this laptop can do, found by doing it once, harmlessly. Each gap has a cause, a reason and, where there is one, the way to fix it. */
import type { KeptCapture } from '../presence/capture.js';
import type { Abilities, VantageInterface } from '../sighting/types.js';
import type { System } from '../system/types.js';
import { findArping } from './arping-ability.js';
import { findCapture } from './capture-ability.js';
import { findNeighbourTable } from './neighbour-table-ability.js';
import { findPing } from './ping-ability.js';

export interface AbilityDeps {
  readonly system: System;
  readonly interfaces: readonly VantageInterface[];
  /** Takes the capture that was opened to see whether it may be. Absent: it is closed again. */
  readonly keep?: ((capture: KeptCapture) => void) | undefined;
}

/** Never rejects. Sends nothing beyond this machine but what the kernel sends by itself. */
export async function findAbilities(deps: AbilityDeps): Promise<Abilities> {
  const [ping, capture, arping, neighbourTable, privileged] = await Promise.all([
    findPing(deps),
    findCapture(deps),
    findArping(deps),
    findNeighbourTable(deps),
    deps.system.privileged(),
  ]);
  return { ping, capture, arping, neighbourTable, privileged };
}
