import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import { readMatrix } from '../../src/matrix/read.js';
import { buildMatrix } from '../../src/result/build.js';
import type { AddressSighting } from '../../src/sighting/types.js';
import { judge } from '../../src/verdicts/judge.js';
import { anEndpoint, anEvidence, aPlan, aSighting, mac, notRun } from '../support/evidence.js';
import { folderWith, namesIn, run } from './run.js';

const plan = aPlan({
  endpoints: [anEndpoint('vault-1/A/mgmt', { address: '192.0.2.11', services: 'https' })],
});

function runFile(
  id: string,
  name: string,
  startedAt: string,
  sighting: AddressSighting,
  stage?: 'power-on',
): string {
  const evidence = anEvidence({
    startedAt,
    vantage: { name },
    sightings: [sighting],
    ...(stage === undefined ? {} : { stage }),
  });
  const judgement = judge(plan, [evidence], { review: [] });
  return JSON.stringify(buildMatrix({ run: { id, version: '0' }, plan, evidence: [evidence], judgement }));
}

const seen = aSighting('192.0.2.11', { by: mac(1), answers: 'https' });
const unseen = aSighting('192.0.2.11', {
  reach: 'no-route',
  presence: notRun('not on this link'),
  icmp: notRun('no route'),
});
const A = runFile('a', 'hall', '2030-01-02T03:00:00Z', unseen);
const B = runFile('b', 'rack', '2030-01-02T04:00:00Z', seen);

describe('combine', () => {
  test('writes one matrix and its page, judged again', async () => {
    const cwd = folderWith({ 'a/matrix.json': A, 'b/matrix.json': B });
    const { status, out, err } = await run(['combine', 'a', 'b/matrix.json', '--out', 'both'], { cwd });
    expect(status).toBe(0);
    expect(out).toContain('from hall, rack');
    expect(out).toContain('1 matches');
    expect(err).toContain(`Page: ${path.join('both', 'matrix.html')}`);
    expect(namesIn(path.join(cwd, 'both'))).toEqual(['matrix.html', 'matrix.json']);
    const matrix = readMatrix(readFileSync(path.join(cwd, 'both/matrix.json'), 'utf8'), 'both');
    expect(matrix.summary).toMatchObject({ matches: 1, unproven: 0 });
    const again = await run(['report', 'both'], { cwd });
    expect(again.status).toBe(0);
  });

  test('--json is alone on standard output', async () => {
    const cwd = folderWith({ 'a/matrix.json': A, 'b/matrix.json': B });
    const { out } = await run(['combine', 'b', 'a', '--json', '--out', 'both'], { cwd });
    expect(JSON.parse(out)).toMatchObject({
      format: 'matchmark.matrix/1',
      vantages: [{ name: 'hall' }, { name: 'rack' }],
    });
  });

  test('one name at two places: the later is numbered, and told', async () => {
    const cwd = folderWith({ 'a/matrix.json': A, 'b/matrix.json': B.replace(/"rack"(?!\s*:)/g, '"hall"') });
    const { out, err } = await run(['combine', 'b', 'a', '--json', '--out', 'both'], { cwd });
    expect(JSON.parse(out)).toMatchObject({ vantages: [{ name: 'hall' }, { name: 'hall (2)' }] });
    expect(err).toMatch(/^note: hall is the vantage of two runs.*--vantage/);
    expect((await run(['combine', 'b', 'a', '--quiet', '--out', 'both'], { cwd })).err).toBe('');
  });

  test.each([
    ['one run', ['a'], /one run alone/],
    ['a run twice', ['a', 'a'], /cannot be combined with itself/],
    ['a run and its own copy', ['a', 'copy.json'], /cannot be combined with itself/],
    ['another stage', ['a', 'power-on'], /stage power-on/],
    ['another plan', ['a', 'other'], /other was made with another plan than a: test\.yaml differs/],
    ['no run', ['a', 'absent'], /absent/],
  ])('%s: exit 2, and nothing is written', async (_what, given, said) => {
    const cwd = folderWith({
      'a/matrix.json': A,
      'copy.json': A,
      'power-on/matrix.json': runFile('p', 'rack', '2030-01-02T05:00:00Z', seen, 'power-on'),
      'other/matrix.json': B.replaceAll('0'.repeat(64), '1'.repeat(64)),
    });
    const { status, err } = await run(['combine', ...given, '--out', 'both'], { cwd });
    expect(status).toBe(2);
    expect(err).toMatch(said);
    expect(existsSync(path.join(cwd, 'both'))).toBe(false);
  });

  test('never writes over a run that it was given', async () => {
    const cwd = folderWith({ 'a/matrix.json': A, 'b/matrix.json': B });
    const { status, err } = await run(['combine', 'a', 'b', '--out', './b/'], { cwd });
    expect(status).toBe(2);
    expect(err).toContain('--out is the folder of b');
    expect(readFileSync(path.join(cwd, 'b/matrix.json'), 'utf8')).toBe(B);
  });
});
