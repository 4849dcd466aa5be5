import { describe, expect, it } from 'vitest';
import { renderFollow } from '../../src/terminal/follow.js';
import { widthOf } from '../../src/terminal/wrap.js';
import { anEndpoint, aPlan, aSighting } from '../support/evidence.js';
import { hallMatrix } from '../support/hall-matrix.js';
import { aMatrix, seen } from '../support/matrix.js';

const style = { width: 80, colour: false, unicode: true };
const plan = aPlan({
  endpoints: [
    anEndpoint('vault-10/A/mgmt', { address: '192.0.2.13', services: 'https' }),
    anEndpoint('vault-2/A/mgmt', { address: '192.0.2.11', services: 'https' }),
    anEndpoint('vault-2/B/mgmt', { address: '192.0.2.12', services: 'https' }),
  ],
});
const matrix = aMatrix(plan, (id) =>
  id === 'vault-2/A/mgmt'
    ? { verdict: 'matches', sightings: [seen('bench', aSighting('192.0.2.11', { answers: 'https' }))] }
    : { verdict: 'missing', sightings: [seen('bench', aSighting('192.0.2.12', { by: false }))] },
);

describe('the followed matrix', () => {
  it('has a row an endpoint below its device, in natural order, with the verdict as sign and word', () => {
    const lines = renderFollow(
      matrix,
      { log: ['09:00:00  vault-2/A/mgmt: now answers'], status: 'look 2', height: 24 },
      style,
    );
    expect(lines).toEqual([
      'vault-2',
      '  A/mgmt  = matches    192.0.2.11      there, 0.4 ms, https',
      '  B/mgmt  ∅ missing    192.0.2.12      nobody answers',
      'vault-10',
      '  A/mgmt  ∅ missing    192.0.2.13      nobody answers',
      '',
      '09:00:00  vault-2/A/mgmt: now answers',
      '',
      'look 2',
    ]);
  });

  it('has a row a device where the endpoints do not fit, the worst first where even that is too much', () => {
    const low = renderFollow(matrix, { log: [], status: 's', height: 8 }, style);
    expect(low.slice(0, 2)).toEqual(['vault-2   = 1 matches   ∅ 1 missing', 'vault-10  ∅ 1 missing']);
  });

  it.each([
    [24, 80],
    [10, 40],
    [60, 200],
  ])('is never higher than %i rows nor wider than %i columns, however large the site', (height, width) => {
    const log = Array.from({ length: 40 }, (_, at) => `09:00:${at}  ${'a-long-name/'.repeat(30)}`);
    for (const hall of [matrix, hallMatrix(1024, 1)]) {
      const lines = renderFollow(
        hall,
        { log: height < 20 ? [] : log, status: 'x'.repeat(500), height },
        { ...style, width },
      );
      expect(lines.length).toBeLessThan(height);
      expect(Math.max(...lines.map(widthOf))).toBeLessThan(width);
      expect(lines.join('')).not.toContain('\n');
    }
  });
});
