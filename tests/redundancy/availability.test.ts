import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { Thing } from '../../src/matrix/matrix.js';
import type { StatedAvailability } from '../../src/plan/model.js';
import { groupAvailability, probability } from '../../src/redundancy/availability.js';
import type { PathRequirements } from '../../src/redundancy/minimal-sets.js';
import { keyOf } from '../../src/redundancy/things.js';
import { AT } from '../support/evidence.js';
import { workMs } from '../support/work.js';

const thing = (text: string): Thing => {
  const [kind = '', name = ''] = text.split(':');
  return { kind, name };
};
const path = (...things: string[]): PathRequirements => things.map((text) => [thing(text)]);
const stated = (figures: Record<string, number>): StatedAvailability[] =>
  Object.entries(figures).map(([text, value]) => {
    const [kind = '', name] = text.split(':');
    return { kind, ...(name === undefined ? {} : { name }), value, at: AT };
  });
const value = (paths: PathRequirements[], need: number, figures: Record<string, number>) => {
  const result = groupAvailability(paths, need, stated(figures));
  return result.kind === 'value' ? result.value : undefined;
};

describe('availability', () => {
  // HELM workbook 46.1 §2 (repository BathMASH/HELM, 46_1_reliability-web/46_1_reliability-webse2.html).
  test.each([
    ['series of 0.2, 0.3, 0.4', [path('p:a', 'p:b', 'p:c')], { 'p:a': 0.2, 'p:b': 0.3, 'p:c': 0.4 }, 0.024],
    [
      'parallel of 0.2, 0.3, 0.4',
      [path('p:a'), path('p:b'), path('p:c')],
      { 'p:a': 0.2, 'p:b': 0.3, 'p:c': 0.4 },
      0.664,
    ],
    ['series of 0.3, 0.4', [path('p:a', 'p:b')], { 'p:a': 0.3, 'p:b': 0.4 }, 0.12],
    ['parallel of 0.3, 0.4', [path('p:a'), path('p:b')], { 'p:a': 0.3, 'p:b': 0.4 }, 0.58],
  ] as const)('HELM 46.1: %s', (_, paths, figures, expected) => {
    expect(value([...paths], 1, figures)).toBeCloseTo(expected, 12);
  });

  // standards.md part 11, worked by hand there: switch 0.999, controller 0.998, shared supply 0.9995.
  const kinds = { switch: 0.999, controller: 0.998 };
  test.each([
    ['one path', [path('switch:1', 'controller:A')], kinds, 0.997002],
    [
      'two separate paths',
      [path('switch:1', 'controller:A'), path('switch:2', 'controller:B')],
      kinds,
      0.999991012,
    ],
    [
      'two paths behind one supply',
      [path('switch:1', 'controller:A', 'feed:A'), path('switch:2', 'controller:B', 'feed:A')],
      { ...kinds, feed: 0.9995 },
      0.999491016,
    ],
    [
      'two switches and two controllers, fully meshed',
      ['1', '2'].flatMap((s) => ['A', 'B'].map((c) => path(`switch:${s}`, `controller:${c}`))),
      kinds,
      0.999995,
    ],
  ] as const)('standards.md 11: %s', (_, paths, figures, expected) => {
    expect(value([...paths], 1, figures)).toBeCloseTo(expected, 9);
  });

  test('two of three equal paths follow 3a² − 2a³ (binomial)', () => {
    const paths = [path('p:a'), path('p:b'), path('p:c')];
    expect(value(paths, 2, { p: 0.9 })).toBeCloseTo(3 * 0.81 - 2 * 0.729, 12);
  });

  test('is the sum over all states of all things, shared and alternative ones too', () => {
    const requirement = fc
      .uniqueArray(fc.integer({ min: 0, max: 6 }), { minLength: 1, maxLength: 2 })
      .map((ns) => ns.map((n) => thing(`p:${n}`)));
    const some = fc.array(fc.array(requirement, { maxLength: 4 }), { maxLength: 5 });
    fc.assert(
      fc.property(some, fc.integer({ min: 1, max: 3 }), (paths, need) => {
        const chance = (t: Thing) => 0.5 + Number(t.name) / 16;
        const things = [...new Map(paths.flat(2).map((t) => [keyOf(t), t])).values()];
        let expected = 0;
        for (let mask = 0; mask < 1 << things.length; mask += 1) {
          const up = new Set(things.filter((_, i) => (mask >> i) & 1).map(keyOf));
          const working = paths.filter((p) => p.every((either) => either.some((t) => up.has(keyOf(t)))));
          const weight = things.reduce((w, t) => w * (up.has(keyOf(t)) ? chance(t) : 1 - chance(t)), 1);
          if (working.length >= need) expected += weight;
        }
        expect(probability(paths, need, chance)).toBeCloseTo(expected, 10);
      }),
      { numRuns: 500 },
    );
  });

  test('no figures given, none shown', () => {
    expect(groupAvailability([path('switch:1')], 1, [])).toEqual({ kind: 'none' });
    expect(groupAvailability([path('switch:1')], 1, stated({ controller: 0.9 }))).toEqual({ kind: 'none' });
  });

  test('a figure for one switch and not for the other gives none, and says which is lacking', () => {
    const result = groupAvailability([path('switch:1'), path('switch:2')], 1, stated({ 'switch:1': 0.999 }));
    expect(result).toMatchObject({ kind: 'lacking', reason: expect.stringContaining('switch 2') });
  });

  test('kinds without any figure are left out and named', () => {
    const result = groupAvailability([path('switch:1', 'network:n')], 1, stated({ switch: 0.999 }));
    expect(result).toEqual({ kind: 'value', value: 0.999, leftOut: ['network'] });
  });

  test('a figure for one thing goes before the figure of its kind', () => {
    expect(value([path('switch:1')], 1, { switch: 0.9, 'switch:1': 0.8 })).toBeCloseTo(0.8, 12);
  });

  test('too many independent things: no figure and a reason, soon', () => {
    const paths = Array.from({ length: 60 }, (_, n) => path(`p:${n}`, `q:${(n * 7) % 31}`, `r:${n % 13}`));
    const before = workMs();
    expect(groupAvailability(paths, 20, stated({ p: 0.9, q: 0.9, r: 0.9 })).kind).toBe('lacking');
    expect(workMs() - before).toBeLessThan(15_000);
  });
});
