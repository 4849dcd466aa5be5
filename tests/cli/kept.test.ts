/** What eyes saw, what was pulled and what was sealed is never lost in silence (issue 13.5). */
import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { expect, test } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { sampleMatrix } from '../support/sample-matrix.js';
import { folderWith, run } from './run.js';

const LIST = 'device,port,address\nvault-9,mgmt,127.0.0.9/8\n';

/** A run with one observation and one pull test. */
function withWork(): Matrix {
  const matrix = sampleMatrix();
  const [first, ...others] = matrix.evidence;
  if (first === undefined) throw new Error('the sample holds no evidence');
  const attestation = {
    subject: 'vault-1',
    item: 'power lamp',
    saw: 'green',
    by: 'R. Hale',
    at: '2030-01-02T03:04:05Z',
  };
  return { ...matrix, evidence: [{ ...first, attestations: [attestation] }, ...others] };
}

const matrixIn = (folder: string) =>
  JSON.parse(readFileSync(path.join(folder, 'matrix.json'), 'utf8')) as Matrix;

test.each([['check', 'list.csv'], ['follow', 'list.csv', '--rounds', '1'], ['demo']])(
  '%s does not write over observations, unless told to',
  async (...argv) => {
    const before = `${JSON.stringify(withWork(), null, 1)}\n`;
    const cwd = folderWith({ 'list.csv': LIST, 'run/matrix.json': before });
    const { status, err } = await run([...argv, '--out', 'run'], { cwd });
    expect(status, err).toBe(2);
    expect(err).toMatch(/holds 1 observation.*, which would be lost/);
    expect(err).toContain('--replace');
    expect(readFileSync(path.join(cwd, 'run/matrix.json'), 'utf8')).toBe(before);
  },
);

test('with --replace it is written over; a folder with nothing of the kind is used again as ever', async () => {
  const cwd = folderWith({ 'list.csv': LIST, 'run/matrix.json': `${JSON.stringify(withWork())}\n` });
  expect((await run(['check', 'list.csv', '--out', 'run', '--replace'], { cwd })).status).not.toBe(2);
  expect(matrixIn(path.join(cwd, 'run')).evidence[0]?.attestations).toEqual([]);
  expect((await run(['check', 'list.csv', '--out', 'run'], { cwd })).status).not.toBe(2);
});

test.each(['SHA256SUMS', 'SHA256SUMS.sig', 'seal.json'])('a seal (%s) is not made false', async (name) => {
  const cwd = folderWith({ 'list.csv': LIST, [`run/${name}`]: 'x' });
  const { status, err } = await run(['check', 'list.csv', '--out', 'run'], { cwd });
  expect(status).toBe(2);
  expect(err).toContain(`a seal (${name})`);
});

test('two who record at once: both are kept', async () => {
  const cwd = folderWith({ 'run/matrix.json': `${JSON.stringify(sampleMatrix(), null, 1)}\n` });
  const attest = (item: string) =>
    run(
      [
        'attest',
        'run',
        '--subject',
        'rack R3',
        '--item',
        item,
        '--saw',
        'locked',
        '--by',
        'R. Hale',
        '--extra',
      ],
      { cwd },
    );
  const ended = await Promise.all(['door', 'roof', 'floor', 'label'].map(attest));
  for (const { status, err } of ended) expect(status, err).toBeLessThan(2);
  const seen = matrixIn(path.join(cwd, 'run')).evidence.flatMap(({ attestations }) => attestations);
  expect(
    seen
      .map(({ item }) => item)
      .filter((item) => ['door', 'roof', 'floor', 'label'].includes(item))
      .sort(),
  ).toEqual(['door', 'floor', 'label', 'roof']);
});

test('a run that is gone on with carries what eyes saw', async () => {
  const cwd = folderWith({ 'list.csv': LIST });
  expect((await run(['check', 'list.csv', '--out', 'run'], { cwd })).status).not.toBe(2);
  const matrix = matrixIn(path.join(cwd, 'run'));
  const [first, ...others] = matrix.evidence;
  if (first === undefined) throw new Error('no evidence');
  const attestation = {
    subject: 'vault-9',
    item: 'power lamp',
    saw: 'green',
    by: 'R. Hale',
    at: '2030-01-02T03:04:05Z',
  };
  const cut = {
    ...matrix,
    run: { ...matrix.run, complete: false },
    evidence: [{ ...first, complete: false, attestations: [attestation] }, ...others],
  };
  writeFileSync(path.join(cwd, 'run/matrix.json'), JSON.stringify(cut));
  const { status, err } = await run(['check', 'list.csv', '--resume', 'run'], { cwd });
  expect(status, err).not.toBe(2);
  const after = matrixIn(path.join(cwd, 'run'));
  expect(after.run).toMatchObject({ complete: true, id: matrix.run.id });
  expect(after.evidence[0]?.attestations).toEqual([attestation]);
});

test('what others wrote into a result acts on no terminal when it is listed', async () => {
  const hostile = 'lamp\u001b]0;owned\u0007\u001b[2J\u202e\nforged line';
  const text = JSON.stringify(sampleMatrix()).replaceAll('power lamp', JSON.stringify(hostile).slice(1, -1));
  expect(text).toContain('forged line');
  const cwd = folderWith({ 'run/matrix.json': text });
  const { out, err, status } = await run(['attest', 'run'], { cwd, columns: 100 });
  expect(status, err).toBe(0);
  expect(out + err).not.toMatch(/[\u0007\u202e]|\u001b(?!\[[\d;]*m)/);
  expect(out).not.toMatch(/^forged/m);
});
