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
      { log: [{ clock: '09:00:00', text: 'vault-2/A/mgmt: now answers' }], status: 'look 2', height: 24 },
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
    [24, 40],
    [24, 60],
    [6, 20],
    [60, 200],
  ])('is never higher than %i rows nor wider than %i columns, however large the site', (height, width) => {
    const log = Array.from({ length: 40 }, (_, at) => ({
      clock: `09:00:${at}`,
      text: 'a-long-name/'.repeat(30),
    }));
    for (const hall of [matrix, hallMatrix(1024, 1)]) {
      const lines = renderFollow(hall, { log, status: 'x'.repeat(500), height }, { ...style, width });
      expect(lines.length).toBeLessThan(height);
      expect(Math.max(...lines.map(widthOf))).toBeLessThan(width);
      expect(lines.join('')).not.toContain('\n');
    }
  });

  it('says on a narrow terminal what was measured on a line of its own, and breaks at blanks alone', () => {
    const log = [
      { clock: '09:00:00', text: 'vault-2/A/mgmt: now answers' },
      {
        clock: '09:00:07',
        text: 'vault-2/B/mgmt: was matches, now missing: nobody on this link claims the address',
      },
    ];
    const status = '09:00:09 look 2, the next in 20 s; q ends and writes the matrix';
    expect(renderFollow(matrix, { log, status, height: 30 }, { ...style, width: 40 })).toEqual([
      'vault-2',
      '  A/mgmt  = matches    192.0.2.11',
      '    there, 0.4 ms, https',
      '  B/mgmt  ∅ missing    192.0.2.12',
      '    nobody answers',
      'vault-10',
      '  A/mgmt  ∅ missing    192.0.2.13',
      '    nobody answers',
      '',
      '09:00:00  vault-2/A/mgmt: now answers',
      '09:00:07  vault-2/B/mgmt: was matches,',
      '  now missing: nobody on this',
      '  link claims the address',
      '',
      '09:00:09 look 2, the next in 20 s; q',
      '  ends and writes the matrix',
    ]);
    const low = renderFollow(matrix, { log: [], status: 's', height: 10 }, { ...style, width: 40 });
    expect(low.slice(0, 2)).toEqual(['vault-2', '  A/mgmt  = matches    192.0.2.11']);
  });

  it.each([40, 60])('breaks no word in two and hides no verdict in %i columns', (width) => {
    const hall = hallMatrix(64, 1);
    const log = [
      { clock: '09:00:00', text: 'hall-1/A/mgmt: was matches, now missing: nobody claims the address' },
    ];
    const words = new Set(
      JSON.stringify([hall, log, 'look 2, the next in 20 s'])
        .concat(' and more devices matches differs missing unproven MTU = != ≠ ∅ ? …')
        .split(/[\s"\\,]+/),
    );
    const wide = renderFollow(
      hall,
      { log, status: 'look 2, the next in 20 s', height: 500 },
      { ...style, width: 400 },
    );
    for (const line of wide) for (const word of line.split(/[\s,]+/)) words.add(word);
    for (const height of [24, 48, 200]) {
      const lines = renderFollow(
        hall,
        { log, status: 'look 2, the next in 20 s', height },
        { ...style, width },
      );
      expect(Math.max(...lines.map(widthOf))).toBeLessThan(width);
      const broken = lines
        .flatMap((line) => line.split(/[\s,]+/))
        .filter((word) => !/^\d*$/.test(word) && !words.has(word));
      expect(broken, lines.join('\n')).toEqual([]);
      const verdicts = lines.filter((line) => /(matches|differs|missing|unproven)( |$)/.test(line));
      expect(verdicts.length).toBeGreaterThan(0);
    }
  });
});
