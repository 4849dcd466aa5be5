/** The page that a check in the lab wrote, opened in a browser: what the sample pages are held to, held on a real one. */
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import path from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { hasChromium, inPage, launch, OPEN_ALL_FOLDS, open } from '../page/support/browser.js';
import { labRefusal } from './support/lab.js';
import { programsRefusal } from './support/services.js';
import { buildTwoArrays, LAB_ENV, type TwoArrays } from './support/two-arrays.js';

const refusal =
  (await labRefusal()) ??
  programsRefusal('snmpd', 'openssl', 'ping', 'pdftotext') ??
  (hasChromium ? undefined : 'no Chromium');
if (refusal !== undefined) console.warn(`SKIPPED: the page of a lab run: ${refusal}`);

describe.skipIf(refusal !== undefined)('the page that a check in the lab wrote', () => {
  let site: TwoArrays;
  let browser: Browser;
  let html: string;
  let matrix: Matrix;

  beforeAll(async () => {
    browser = await launch();
    site = await buildTwoArrays({ withoutSsh: ['vault-1-a'], swapped: ['vault-2-a', 'vault-2-b'] });
    await site.controllers['vault-1-b'].linkUp('mgmt', false);
    const out = path.join(site.lab.folder, 'run');
    await site.laptop.matchmark(['check', site.planFile, '--out', out, '--quiet'], { env: LAB_ENV });
    html = readFileSync(path.join(out, 'matrix.html'), 'utf8');
    matrix = JSON.parse(readFileSync(path.join(out, 'matrix.json'), 'utf8')) as Matrix;
  });
  afterAll(async () => {
    await browser?.close();
    await site?.lab.remove();
  });

  it('shows every endpoint, asks for nothing beside itself and breaks no rule of its own policy', async () => {
    const { page, requests, complaints, close } = await open(browser, html);
    expect(await page.locator('.matrix tr[id^=e]').count()).toBe(matrix.endpoints.length);
    await page.evaluate(OPEN_ALL_FOLDS);
    const text = ((await page.locator('body').textContent()) ?? '').replace(/\s+/g, ' ');
    for (const { message } of matrix.findings) expect(text).toContain(message.replace(/\s+/g, ' '));
    expect([requests, complaints]).toEqual([[], []]);
    await close();
  });

  it('filters by text and is reached by the keyboard alone', async () => {
    const { page, close } = await open(browser, html);
    await page.keyboard.press('Tab');
    expect(await inPage(page, 'document.activeElement.tagName')).toBe('A');
    await page.locator('#ft').focus();
    await page.keyboard.type('192.0.2.12');
    expect(await page.locator('.matrix tr[id^=e]:visible').count()).toBe(1);
    expect(await page.locator('#fn').textContent()).toContain(`1 of ${matrix.endpoints.length}`);
    await close();
  });

  it('has nothing that axe finds', async () => {
    const { page, close } = await open(browser, html, { bypassCSP: true });
    await page.evaluate(OPEN_ALL_FOLDS);
    await page.addScriptTag({
      content: readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8'),
    });
    expect(await inPage(page, 'axe.run().then(({ violations }) => violations.map(({ id }) => id))')).toEqual(
      [],
    );
    await close();
  });

  it('prints with numbered pages, what is folded included', async () => {
    const { page, close } = await open(browser, html);
    const file = path.join(site.lab.folder, 'page.pdf');
    await page.pdf({ path: file, format: 'A4' });
    const text = execFileSync('pdftotext', ['-layout', file, '-']).toString();
    const pages = Number(/Pages:\s+(\d+)/.exec(execFileSync('pdfinfo', [file]).toString())?.[1]);
    expect(pages).toBeGreaterThan(3);
    expect(text).toContain(`page ${pages} of ${pages}`);
    const [first = '', second = ''] = text.split('\f');
    expect(first.replace(/\s+/g, ' ')).toContain(matrix.outcome?.headline);
    for (const part of [...matrix.groups.map(({ name }) => name), 'Received for the customer'])
      expect(first).toContain(part);
    expect(second).toMatch(/^\s*1\s+Matrix/);
    // Evidence is folded on the screen.
    expect(text).toContain('00:00:5e:00:53:0b');
    await close();
  });
});
