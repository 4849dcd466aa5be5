import { describe, expect, it } from 'vitest';
import { viewOf } from '../../src/evidence/view.js';
import type { Evidence } from '../../src/sighting/types.js';
import { aNetwork, anEvidence, aPlan, aSighting, notRun, T0, T1 } from '../support/evidence.js';

const A = '192.0.2.11';
const from = (name: string, more: Parameters<typeof aSighting>[1] = {}, run: Partial<Evidence> = {}) => ({
  ...anEvidence({ vantage: { name }, sightings: [aSighting(A, more)] }),
  ...run,
});
const order = (...evidence: Evidence[]): string[] =>
  viewOf(aPlan({}), evidence)
    .seen(A)
    .map(({ evidence: { vantage } }) => vantage.name);
const blind = { presence: notRun('interrupted'), icmp: notRun('interrupted') };

describe('the best-placed look', () => {
  it.each<[string, string[], Evidence[]]>([
    ['on the link before across a router', ['near', 'far'], [from('far', { reach: 'routed' }), from('near')]],
    [
      'a whole run before one cut short',
      ['whole', 'cut'],
      [from('cut', {}, { complete: false }), from('whole')],
    ],
    [
      'the later of two alike',
      ['late', 'early'],
      [from('early', {}, { startedAt: T0 }), from('late', {}, { startedAt: T1 })],
    ],
    [
      'one that asked before a nearer one that asked nothing',
      ['far', 'near'],
      [from('near', blind), from('far', { reach: 'routed' })],
    ],
  ])('%s', (_why, expected, evidence) => {
    expect(order(...evidence)).toEqual(expected);
    expect(order(...[...evidence].reverse())).toEqual(expected);
  });
});

describe('a view', () => {
  it('leaves out what was seen at power-on once a configured run is there', () => {
    const view = viewOf(aPlan({}), [from('early', {}, { stage: 'power-on' }), from('late')]);
    expect(view.stage).toBe('configured');
    expect(view.seen(A)).toHaveLength(1);
  });

  it('places an address in the smallest network that has it', () => {
    const plan = aPlan({ networks: [aNetwork('wide', '192.0.0.0/16'), aNetwork('narrow', '192.0.2.0/24')] });
    expect(viewOf(plan, []).networkAt(A)?.name).toBe('narrow');
  });

  it('knows which devices no run looked at', () => {
    const view = viewOf(aPlan({}), [
      from('a', {}, { only: ['vault-1'] }),
      from('b', {}, { only: ['press-1'] }),
    ]);
    expect(['vault-1', 'press-1', 'loft-switch'].map((device) => view.lookedAt(device))).toEqual([
      true,
      true,
      false,
    ]);
  });
});
