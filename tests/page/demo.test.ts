/** The page of a real run: the demo's embedded site, probed over loopback by the same code as `check`. */
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { registerDemo } from '../../src/cli/demo.js';
import { registerReport } from '../../src/cli/report.js';
import type { Matrix } from '../../src/matrix/matrix.js';
import { isAsPlanned } from '../../src/result/group-words.js';
import { jobListOf } from '../../src/result/jobs.js';
import { runCommand } from '../support/cli.js';
import { hasChromium, inPage, launch, OPEN_ALL_FOLDS, open } from './support/browser.js';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

describe.skipIf(!hasChromium)('the page of the demo', () => {
  const folder = mkdtempSync(join(tmpdir(), 'matchmark-demo-page-'));
  let browser: Browser;
  let matrix: Matrix;
  let html: string;
  beforeAll(async () => {
    browser = await launch();
    await runCommand(registerDemo, ['demo', '--out', folder, '--quiet'], folder);
    matrix = JSON.parse(readFileSync(join(folder, 'matrix.json'), 'utf8')) as Matrix;
    html = readFileSync(join(folder, 'matrix.html'), 'utf8');
  });
  afterAll(async () => {
    rmSync(folder, { recursive: true });
    await browser?.close();
  });

  test('has every endpoint, finding and group of the result, and no more', async () => {
    const { page, complaints, requests, close } = await open(browser, html);
    expect(matrix.endpoints.length).toBeGreaterThan(10);
    expect(await page.locator('.matrix tr[id^=e]').count()).toBe(matrix.endpoints.length);
    expect(await page.locator('.ev .one').count()).toBe(matrix.endpoints.length);
    expect(await page.locator('.item').count()).toBe(matrix.outcome?.jobs);
    const { jobs, notes } = jobListOf(matrix.findings);
    expect(await page.locator('.item .follows li').count()).toBe(
      jobs.reduce((sum, { follows }) => sum + follows.length, 0),
    );
    expect(await page.locator('#notes [id^=f]').count()).toBe(notes.length);
    expect(await page.locator('svg.paths').count()).toBe(
      matrix.groups.filter((group) => !isAsPlanned(group)).length,
    );
    expect(await page.locator('.strip .cell').count()).toBe(matrix.endpoints.length);
    expect([complaints, requests]).toEqual([[], []]);
    await close();
  });

  test('each row has the verdict of the result; a cell that speaks against the plan never stands in a row that matches', async () => {
    const { page, close } = await open(browser, html);
    const rows = await inPage<{ number: number; verdict: string; against: number }[]>(
      page,
      `[...document.querySelectorAll('.matrix tr[id^=e]')].map((row) => ({
        number: Number(row.id.slice(1)),
        verdict: row.cells[1].textContent.split(/\\s/)[1],
        against: row.querySelectorAll('td:nth-of-type(n+2).d, td:nth-of-type(n+2).x').length,
      }))`,
    );
    for (const { number, verdict } of rows) expect(verdict).toBe(matrix.endpoints[number - 1]?.verdict);
    expect(rows.filter(({ verdict, against }) => verdict === 'matches' && against > 0)).toEqual([]);
    expect(rows.filter(({ verdict, against }) => verdict === 'differs' && against === 0)).toEqual([]);
    await close();
  });

  test('axe finds nothing, light and dark', async () => {
    for (const colorScheme of ['light', 'dark'] as const) {
      const { page, close } = await open(browser, html, { bypassCSP: true, colorScheme });
      await page.evaluate(OPEN_ALL_FOLDS);
      await page.addScriptTag({ content: axe });
      expect(
        await inPage(page, 'axe.run().then(({ violations }) => violations.map(({ id }) => id))'),
      ).toEqual([]);
      await close();
    }
  });

  test('report makes the same page again from the result alone', async () => {
    const { out } = await runCommand(registerReport, ['report', folder, '--as', 'html'], folder);
    expect(out).toBe(html);
  });
});
