import { createHash } from 'node:crypto';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { registerReport } from '../../src/cli/report.js';
import { readMatrix } from '../../src/matrix/read.js';
import { runCommand } from '../support/cli.js';
import { sampleMatrix } from '../support/sample-matrix.js';

describe('matchmark report', () => {
  const folder = mkdtempSync(join(tmpdir(), 'matchmark-report-'));
  const json = `${JSON.stringify(sampleMatrix(), null, 1)}\n`;
  const digest = createHash('sha256').update(json).digest('hex');
  const report = (...argv: string[]) => runCommand(registerReport, ['report', ...argv], folder);

  beforeAll(() => writeFileSync(join(folder, 'matrix.json'), json));
  afterAll(() => rmSync(folder, { recursive: true }));

  test('the result in the fixtures is the one the tests are made from, and reads back', async () => {
    await expect(json).toMatchFileSnapshot('../../fixtures/results/harbour-library.json');
    expect(readMatrix(json, 'harbour-library.json')).toEqual(JSON.parse(json));
  });

  test('text to standard output, with the exit status of the run', async () => {
    const { status, out } = await report('.');
    expect(status).toBe(1);
    expect(out).toMatch(/^Stop: make 1 thing safe before you go on/);
  });

  test('the page names the digest of the bytes that it was made from', async () => {
    const { out } = await report('matrix.json', '--as', 'html');
    expect(out).toMatch(/^<!doctype html>/);
    expect(out.replace(/[\s]/g, '')).toContain(digest);
  });

  test('into a folder, and into a file', async () => {
    const { err } = await report('.', '--as', 'csv', '--out', 'handover');
    expect(err).toContain('Written: handover/matrix.csv');
    expect(readFileSync(join(folder, 'handover/matrix.csv'), 'utf8')).toMatch(/^endpoint,device,/);
    expect(readFileSync(join(folder, 'handover/findings.csv'), 'utf8')).toMatch(/^number,severity,code/);
    await report('.', '--as', 'html', '--out', 'page.html', '--quiet');
    expect(readFileSync(join(folder, 'page.html'), 'utf8')).toContain('Harbour Library');
  });

  test('--json gives the result as it stands', async () => {
    expect((await report('.', '--json')).out).toBe(json);
  });

  test.each([
    [['.', '--as', 'htm'], 'Did you mean "html"'],
    [['nowhere'], 'matchmark check'],
  ])('%j ends with 2 and says what to do', async (argv, words) => {
    const { status, err, out } = await report(...argv);
    expect(status).toBe(2);
    expect(out).toBe('');
    expect(err).toContain(words);
  });

  test('a file that is no result ends with 2, not with half a report', async () => {
    writeFileSync(join(folder, 'other.json'), '{"format":"something/1"}');
    const { status, out } = await report('other.json', '--as', 'html');
    expect(status).toBe(2);
    expect(out).toBe('');
  });
});
