/** Steps that one pull serves: a switch is switched off once, for all groups that run through it. Pure. */
import type { Thing } from '../matrix/matrix.js';
import { groupBy } from '../text/group-by.js';
import { type DrillStep, pullRank } from './plan.js';

export interface Pull {
  readonly pull: Thing;
  readonly instruction: string;
  readonly restore: string;
  /** One a group. */
  readonly steps: readonly [DrillStep, ...DrillStep[]];
  readonly affected: readonly string[];
  readonly survivors: readonly string[];
  /** `lost` where it should end any of the groups. */
  readonly expect: DrillStep['expect'];
  readonly caution?: string | undefined;
}

/** In the order of the visit: least harm first, and all cables before the first device. */
export function pullsOf(steps: readonly DrillStep[]): Pull[] {
  const groups = groupBy(steps, ({ pull }) => `${pull.kind}\u0000${pull.name}`);
  return [...groups.values()].flatMap(pullOf).sort((a, b) => pullRank(a.pull) - pullRank(b.pull));
}

function pullOf(steps: readonly DrillStep[]): Pull[] {
  const [first, ...others] = steps;
  if (first === undefined) return [];
  const affected = unique(steps.flatMap((step) => step.affected));
  const caution = unique(steps.flatMap((step) => step.caution ?? [])).join(' ');
  return [
    {
      pull: first.pull,
      instruction: first.instruction,
      restore: first.restore,
      steps: [first, ...others],
      affected,
      survivors: unique(steps.flatMap((step) => step.survivors)).filter((id) => !affected.includes(id)),
      expect: steps.some(({ expect }) => expect === 'lost') ? 'lost' : 'survives',
      ...(caution === '' ? {} : { caution }),
    },
  ];
}

function unique(values: readonly string[]): string[] {
  return [...new Set(values)];
}
