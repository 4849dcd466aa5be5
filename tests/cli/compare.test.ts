import { readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, test } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { anEndpoint, aPlan, aSighting, mac } from '../support/evidence.js';
import { aFinding, aMatrix, seen } from '../support/matrix.js';
import { sampleMatrix } from '../support/sample-matrix.js';
import { folderWith, namesIn, run } from './run.js';

const plan = aPlan({ endpoints: [anEndpoint('vault-1/A/mgmt', { address: '192.0.2.11', services: 'ssh' })] });
const matrix = (
  line: string,
  verdict: 'matches' | 'unproven' = 'matches',
  more: Partial<Matrix> = {},
): string =>
  JSON.stringify(
    aMatrix(
      plan,
      () => ({
        verdict,
        sightings: [
          seen('bench', aSighting('192.0.2.11', { by: mac(1), identity: { ssh: { line, port: 22 } } })),
        ],
      }),
      more,
    ),
  );
const OLD = matrix('SSH-2.0-Example_1.0');

describe('compare', () => {
  test('software that changed is told and is nothing worse', async () => {
    const cwd = folderWith({ 'old/matrix.json': OLD, 'new.json': matrix('SSH-2.0-Example_2.0') });
    const { status, out, err } = await run(['compare', 'old', 'new.json'], { cwd });
    expect({ status, err }).toEqual({ status: 0, err: '' });
    expect(out).toContain(
      'vault-1/A/mgmt: SSH line: "SSH-2.0-Example_1.0" before, "SSH-2.0-Example_2.0" now',
    );
    expect(out).toContain(
      'Nothing got worse. 1 thing that a device tells of itself changed, 1 endpoint as before.',
    );
    expect(namesIn(cwd)).toEqual(['new.json', 'old', 'old/matrix.json']);
  });

  test('a verdict away from matches ends with 1, also with --quiet, which says it', async () => {
    const cwd = folderWith({ 'a.json': OLD, 'b.json': matrix('SSH-2.0-Example_1.0', 'unproven') });
    const { status, out } = await run(['compare', 'a.json', 'b.json'], { cwd });
    expect(status).toBe(1);
    expect(out).toContain('vault-1/A/mgmt: matches before, unproven now');
    const quiet = await run(['compare', 'a.json', 'b.json', '--quiet'], { cwd });
    expect(quiet).toEqual({ status: 1, out: 'vault-1/A/mgmt: matches before, unproven now\n', err: '' });
  });

  test('a new fix ends with 1, and is cleared the other way round', async () => {
    const findings = [aFinding('endpoint-missing', 'fix', 'vault-1/A/mgmt', 'It is missing.')];
    const cwd = folderWith({
      'a.json': OLD,
      'b.json': matrix('SSH-2.0-Example_1.0', 'matches', { findings }),
    });
    const there = await run(['compare', 'a.json', 'b.json'], { cwd });
    expect(there.status).toBe(1);
    expect(there.out).toMatch(/New findings\n {2}fix: /);
    const back = await run(['compare', 'b.json', 'a.json'], { cwd });
    expect(back.status).toBe(0);
    expect(back.out).toMatch(/Findings that are gone\n {2}fix: /);
  });

  test('--json is alone on standard output, and the same bytes as compare.json', async () => {
    const cwd = folderWith({ 'a.json': OLD, 'b.json': matrix('SSH-2.0-Example_2.0') });
    const { out, err } = await run(['compare', 'a.json', 'b.json', '--json', '--out', 'changes'], { cwd });
    expect(JSON.parse(out)).toMatchObject({
      format: 'matchmark.compare/1',
      worse: false,
      equipment: { software: [{ device: 'vault-1', what: 'SSH line', endpoints: ['vault-1/A/mgmt'] }] },
    });
    expect(readFileSync(path.join(cwd, 'changes/compare.json'), 'utf8')).toBe(out);
    expect(err).toBe(`Written: ${path.join('changes', 'compare.html')} (compare.json beside it)\n`);
  });

  test('a rich result against itself: nothing changed, and the caution that it is itself', async () => {
    const cwd = folderWith({ 'a.json': JSON.stringify(sampleMatrix()) });
    const { status, out } = await run(['compare', 'a.json', 'a.json'], { cwd });
    expect(status).toBe(0);
    expect(out).toContain('Both results are of the same run');
    expect(out).toMatch(/Nothing changed: \d+ endpoints as before\.\n$/);
  });

  test('what devices say stays text', async () => {
    // ESC and a right-to-left override, as a hostile banner or a hand-made result may hold them.
    const cwd = folderWith({ 'a.json': OLD, 'b.json': matrix('\u001b[2J\u202egnp.exe\nNothing changed') });
    const { out } = await run(['compare', 'a.json', 'b.json'], { cwd });
    expect(out).not.toMatch(/[\u001b\u202e]/);
    expect(out).toMatch(/\\u001b\[2J\\u202egnp\.exe Nothing\s+changed"/);
  });

  test('what is no run: exit 2', async () => {
    const cwd = folderWith({ 'a.json': OLD, 'b.json': '{}' });
    expect((await run(['compare', 'a.json', 'b.json'], { cwd })).status).toBe(2);
    expect((await run(['compare', 'a.json'], { cwd })).status).toBe(2);
  });
});
