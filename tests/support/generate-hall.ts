import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';

const GENERATOR = fileURLToPath(new URL('../../fixtures/plans/hall-40/generate.mjs', import.meta.url));

export interface Hall {
  /** `plan.yaml` of fixtures/plans/hall-40 names it `hall.csv`. */
  readonly csv: string;
  readonly endpoints: number;
}

/** The address list of a hall of racks, as its example makes it: 25 endpoints a rack, up to 60 racks. */
export function generateHall(racks: number): Hall {
  const made = spawnSync(process.execPath, [GENERATOR, String(racks)], { encoding: 'utf8' });
  if (made.status !== 0) throw new Error(`generate.mjs: ${made.stderr}`);
  return { csv: made.stdout, endpoints: made.stdout.trimEnd().split('\n').length - 1 };
}
