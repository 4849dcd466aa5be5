import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { renderPage } from '../../src/page/render.js';
import { hallMatrix } from '../support/hall-matrix.js';
import { DIGEST } from '../support/matrix.js';
import { sampleMatrix } from '../support/sample-matrix.js';
import { hasChromium, launch, OPEN_ALL_FOLDS, open } from './support/browser.js';

const hasPoppler = ['pdftotext', 'pdftoppm'].every((program) => {
  try {
    execFileSync(program, ['-v'], { stdio: 'ignore' });
    return true;
  } catch {
    process.stderr.write(`SKIPPED: print tests need ${program} (poppler-utils).\n`);
    return false;
  }
});

describe.skipIf(!hasChromium || !hasPoppler)('print', () => {
  let browser: Browser;
  const folder = mkdtempSync(join(tmpdir(), 'matchmark-print-'));
  beforeAll(async () => {
    browser = await launch();
  });
  afterAll(async () => {
    rmSync(folder, { recursive: true });
    await browser?.close();
  });

  async function print(
    html: string,
    format: 'A4' | 'Letter',
    before?: string,
  ): Promise<{ file: string; pages: string[] }> {
    const { page, close } = await open(browser, html);
    if (before !== undefined) await page.locator('#ft').fill(before);
    const file = join(folder, `${format}.pdf`);
    await page.pdf({ path: file, format });
    await close();
    const text = execFileSync('pdftotext', ['-layout', file, '-'], { maxBuffer: 64 << 20 }).toString();
    return { file, pages: text.split('\f').slice(0, -1) };
  }

  test.each([
    ['A4', '595', '84'],
    ['Letter', '612', '792'],
  ] as const)('on %s: every page is numbered and says whose it is', async (format, width, height) => {
    const { file, pages } = await print(renderPage(sampleMatrix(), { digest: DIGEST }), format);
    expect(pages.length).toBeGreaterThan(5);
    for (const [index, page] of pages.entries()) {
      expect(page).toContain(`page ${index + 1} of ${pages.length}`);
      expect(page).toContain('Harbour Library, HL-2291');
      expect(page).toContain(`result ${DIGEST.slice(0, 16)}`);
    }
    expect(execFileSync('pdfinfo', [file]).toString()).toMatch(
      new RegExp(`Page size: +${width}.* x ${height}`),
    );
  });

  test('what is folded on screen is open on paper', async () => {
    const { pages } = await print(renderPage(sampleMatrix(), { digest: DIGEST }), 'A4');
    const text = pages.join('\n');
    expect(text).toContain('Says by SNMP: vault-1-a; storage controller; serial V1-0001');
    expect(text).toMatch(/press-1\/hba1 →/);
    expect(text).toContain('Installed and measured by');
    expect(text.replace(/\s/g, '')).toContain(DIGEST);
  });

  test('evidence on paper: whole where something is wrong, who answered where all matches; the screen has both whole', async () => {
    const html = renderPage(hallMatrix(64, 3));
    const { pages } = await print(html, 'A4');
    const text = pages.join('\n').replace(/\s+/g, '');
    // Counted from 0: every ninth is missing, else every seventh differs.
    expect(text).toContain('SaysbySNMP:vault-1;');
    expect(text).not.toContain('CN=vault-1.example');
    expect(text).toContain('CN=vault-7.example');
    expect(text).toContain('Notasked:echo(nobodyclaimstheaddress)');
    expect(text).toContain('Onpaperanendpointthatmatcheshasonlywhatsayswhoanswered');
    expect(html).toContain('CN=vault-1.example');
    const { page, close } = await open(browser, html);
    await page.evaluate(OPEN_ALL_FOLDS);
    expect(await page.locator('#v2').getByText('CN=vault-1.example').isVisible()).toBe(true);
    expect(await page.locator('#evidence .paper').isVisible()).toBe(false);
    await close();
  });

  test('256 endpoints from 3 places stay under 60 pages', async () => {
    const { pages } = await print(renderPage(hallMatrix(256, 3)), 'A4');
    process.stderr.write(`256 x 3 on A4: ${pages.length} pages\n`);
    expect(pages.length).toBeLessThan(60);
    expect(pages.length).toBeGreaterThan(20);
  });

  test('a filter set on screen takes nothing away on paper', async () => {
    const { pages } = await print(renderPage(sampleMatrix()), 'A4', 'press-2');
    expect(pages.join('\n')).toContain('198.51.100.11');
  });

  test('the heads of the matrix stand on each of its pages, and no row is torn', async () => {
    const { pages } = await print(renderPage(hallMatrix(120, 1)), 'A4');
    const rowsOn = pages.map((page) => [...page.matchAll(/^ *port\d /gm)].length);
    const matrixPages = pages.filter((_, index) => (rowsOn[index] ?? 0) > 0);
    expect(matrixPages.length).toBeGreaterThan(3);
    for (const page of matrixPages) {
      expect(page).toMatch(/Port +Verdict/);
      expect(page).toMatch(/Address +Echo +Services +Box +Path/);
      // The address stands under the port in the same cell: a torn row would leave them on two pages.
      expect([...page.matchAll(/^ *198\.51\.10\d\.\d+/gm)].length).toBe(
        [...page.matchAll(/^ *port\d /gm)].length,
      );
    }
    expect(rowsOn.reduce((sum, rows) => sum + rows, 0)).toBe(120);
  });

  test('the matrix lies across the sheet', async () => {
    const { file } = await print(renderPage(sampleMatrix(['bench', 'loft', 'cellar'])), 'A4');
    const info = execFileSync('pdfinfo', ['-l', '99', file]).toString();
    expect(info).toMatch(/size: +84\d.* x 595/);
  });

  test('black is the only ink: every point of every page is a grey', async () => {
    const { file } = await print(renderPage(sampleMatrix(), { digest: DIGEST }), 'A4');
    const raw = execFileSync('pdftoppm', ['-r', '40', file], { maxBuffer: 256 << 20 });
    expect(coloured(raw)).toBe(0);
  });
});

/** Points of a run of binary PPM images whose red, green and blue are further apart than rounding explains. */
function coloured(raw: Buffer): number {
  let points = 0;
  let images = 0;
  let at = 0;
  while (at < raw.length) {
    const head = /^P6\s(\d+) (\d+)\s255\s/.exec(raw.toString('latin1', at, at + 40));
    if (head === null) break;
    images += 1;
    const start = at + head[0].length;
    const end = start + Number(head[1]) * Number(head[2]) * 3;
    for (let spot = start; spot < end; spot += 3) {
      const [red = 0, green = 0, blue = 0] = raw.subarray(spot, spot + 3);
      if (Math.max(red, green, blue) - Math.min(red, green, blue) > 4) points += 1;
    }
    at = end;
  }
  if (images < 5) throw new Error(`only ${images} images read`);
  return points;
}
