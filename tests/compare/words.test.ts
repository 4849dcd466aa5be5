import { describe, expect, test } from 'vitest';
import { compareRuns } from '../../src/compare/compare.js';
import { groupRow } from '../../src/compare/row-words.js';
import { comparedSections, comparisonHeadline, sayRow, worseLines } from '../../src/compare/words.js';
import type { EndpointSighting, FactResult, Matrix } from '../../src/matrix/matrix.js';
import { aDevice, anEndpoint, aPlan, aSighting, mac } from '../support/evidence.js';
import { aFinding, aMatrix, seen } from '../support/matrix.js';

const ID = 'vault-1/A/data0';
const plan = aPlan({ devices: [aDevice('vault-1')], endpoints: [anEndpoint(ID, { address: '192.0.2.11' })] });
const fact = (state: FactResult['state'], more: Partial<FactResult> = {}): FactResult => ({
  ...{ fact: 'speed', planned: '10G', measured: state === 'differs' ? '1G' : '10G', state, by: 'measured' },
  ...{ vantage: 'bench', reason: '' },
  ...more,
});
function run(facts: FactResult[], more: Partial<Matrix> = {}, look: Partial<EndpointSighting> = {}): Matrix {
  const verdict = facts.some(({ state }) => state === 'differs') ? 'differs' : 'matches';
  const matrix = aMatrix(
    plan,
    () => ({ verdict, facts, sightings: [seen('bench', aSighting('192.0.2.11', { by: mac(1) }), look)] }),
    more,
  );
  return { ...matrix, run: { ...matrix.run, id: 'later', startedAt: '2031-01-02T03:04:05.000Z' } };
}
const before = aMatrix(plan, () => ({
  verdict: 'matches',
  facts: [fact('matches')],
  sightings: [seen('bench', aSighting('192.0.2.11', { by: mac(1) }))],
}));
const said = (was: Matrix, is: Matrix) =>
  comparedSections(compareRuns(was, is, '1')).flatMap(({ title, rows }) => [title, ...rows.map(sayRow)]);

test('a fact that is not as planned any more, with its values, once', () => {
  expect(said(before, run([fact('differs', { reason: 'its port is up at 1G' })]))).toEqual([
    'Was as planned, and is not any more',
    `${ID}: speed: matches: 10G before, differs: 1G now; planned 10G; its port is up at 1G`,
  ]);
});

test('a cable that moved stands among the cables and nowhere else', () => {
  const cabling = (port: string): Partial<EndpointSighting> => ({
    cabling: { switch: 'loft-switch', port, mac: mac(1), by: 'forwarding table' },
  });
  const at = (state: FactResult['state']) => fact(state, { fact: 'switch-port', planned: 'loft-switch 1' });
  const lines = said(run([at('matches')], {}, cabling('1')), run([at('differs')], {}, cabling('7')));
  expect(lines.filter((line) => line.includes('loft-switch'))).toEqual([
    `${ID}: loft-switch 1 before, loft-switch 7 now; it was as planned and is not`,
  ]);
});

test('new findings are told as causes, with what follows from each beneath', () => {
  const cause = aFinding('endpoint-missing', 'fix', ID, 'Nobody is at 192.0.2.11.');
  const effect = { ...aFinding('path-missing', 'fix', ID, 'A path is broken.'), follows: [cause.id] };
  const [, first, ...rest] = said(before, run([fact('matches')], { findings: [effect, cause] }));
  expect(first).toContain('Nobody is at 192.0.2.11.');
  expect(first).toContain('1 finding follows from it');
  expect(rest).toEqual([]);
});

test('many facts that one reason left unproven are one line', () => {
  const ids = Array.from({ length: 9 }, (_, index) => `vault-${index + 1}/A/data0`);
  const wide = aPlan({ endpoints: ids.map((id) => anEndpoint(id)) });
  const all = (state: FactResult['state'], more: Partial<FactResult> = {}) =>
    aMatrix(wide, () => ({ verdict: 'matches', facts: [fact(state, more)] }));
  const lines = said(
    all('matches'),
    all('unproven', { cause: 'device-not-read', reason: 'no agent told it' }),
  );
  expect(lines.at(-1)).toMatch(/^speed: 9 endpoints, vault-1\/A\/data0, .* and 4 others: no agent told it$/);
});

describe('the headline', () => {
  test('nothing changed', () => {
    expect(comparisonHeadline(compareRuns(before, run([fact('matches')]), '1'))).toBe(
      'Nothing changed: 1 endpoint as before.',
    );
  });

  test('worse without a finding: the endpoint is named for --quiet', () => {
    const comparison = compareRuns(before, run([fact('differs')]), '1');
    expect(comparisonHeadline(comparison)).toBe(
      'Worse than before: 0 new jobs, 1 endpoint no longer as planned. 1 endpoint changed, 0 endpoints as before.',
    );
    expect(worseLines(comparison)).toEqual([`${ID}: matches before, differs now`]);
  });
});

test('what devices and files say is cleaned', () => {
  const odd = run([fact('differs', { reason: '\u001b[2J\u202egnp.exe' })]);
  expect(said(before, odd).join('\n')).not.toMatch(/[\u001b\u202e]/);
});

test('several new single points of one group are named behind one word', () => {
  const row = groupRow({
    ...{ name: 'press-2 to vault-2', before: 'unproven', now: 'at-risk', goneSinglePoints: [], worse: true },
    newSinglePoints: [
      { kind: 'controller', name: 'vault-2/A' },
      { kind: 'host-port', name: 'press-2/hba0' },
    ],
  });
  expect(row.more).toBe('new single points: controller vault-2/A and host port press-2/hba0');
});
