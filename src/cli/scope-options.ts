/** Options that say what of a plan is looked at, and how. */
import { MatchmarkError } from '../errors.js';
import type { Plan } from '../plan/model.js';
import { nearestWord } from '../text/nearest.js';

export function requireDevices(plan: Plan, names: readonly string[]): void {
  const known = plan.devices.map(({ name }) => name);
  for (const name of names) {
    if (known.includes(name)) continue;
    const near = nearestWord(name, known);
    throw new MatchmarkError('usage', `the plan has no device "${name}"`, {
      next: near === undefined ? `It has: ${known.slice(0, 12).join(', ')}.` : `Did you mean "${near}"?`,
    });
  }
}

export function stageOf(given: string): 'power-on' | 'configured' {
  if (given === 'power-on' || given === 'configured') return given;
  throw new MatchmarkError('usage', `unknown stage "${given}"`, {
    next: 'Stages are power-on and configured.',
  });
}

export function collect(value: string, before: readonly string[] = []): string[] {
  return [...before, value];
}
