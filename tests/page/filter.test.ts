import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { renderPage } from '../../src/page/render.js';
import { sampleMatrix } from '../support/sample-matrix.js';
import { hasChromium, inPage, launch, OPEN_ALL_FOLDS, open } from './support/browser.js';

const html = renderPage(sampleMatrix());

const ACTIVE = `(({ id, className, tagName }) => id || className || tagName.toLowerCase())(document.activeElement)`;

function shownRows(page: Page): Promise<string[]> {
  return page.locator('.matrix tr[id^=e]:visible').evaluateAll((rows) => rows.map(({ id }) => id));
}

describe.skipIf(!hasChromium)('filter', () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await launch();
  });
  afterAll(() => browser?.close());

  test('by text: every word must be somewhere in the endpoint, its row or its evidence', async () => {
    const { page, close } = await open(browser, html);
    await page.evaluate(OPEN_ALL_FOLDS);
    await page.locator('#ft').fill('vault-1 203.0.113.11');
    expect(await shownRows(page)).toEqual(['e4']);
    expect(await page.locator('#fn').textContent()).toBe('1 of 12 endpoints shown');
    expect(await page.locator('.ev .one:visible').count()).toBe(1);
    await page.locator('#ft').fill('V1-0001');
    expect(await shownRows(page)).toEqual(['e1']);
    await close();
  });

  test('by verdict and by device together', async () => {
    const { page, close } = await open(browser, html);
    await page.locator('#fd').selectOption({ label: 'vault-1' });
    for (const verdict of ['matches', 'missing', 'unproven'])
      await page.locator(`#filter input[value=${verdict}]`).uncheck();
    expect(await shownRows(page)).toEqual(['e1', 'e2', 'e5']);
    await page.locator('#fc').click();
    expect(await shownRows(page)).toHaveLength(12);
    await close();
  });

  test('a head whose rows are all filtered away goes too', async () => {
    const { page, close } = await open(browser, html);
    await page.locator('#fd').selectOption({ label: 'press-1' });
    expect(await page.locator('.matrix tr.g:visible').allInnerTexts()).toEqual([
      expect.stringContaining('press-1'),
    ]);
    await close();
  });

  test('a link into a row that is filtered away shows it again', async () => {
    const { page, close } = await open(browser, html);
    await page.locator('#ft').fill('press-2');
    await page.locator('#f1 a[href="#e2"]').click();
    await expect.poll(() => page.locator('#e2').isVisible()).toBe(true);
    expect(await page.locator('#ft').inputValue()).toBe('');
    await close();
  });

  test('a link into folded evidence opens it', async () => {
    const { page, close } = await open(browser, html);
    await page.locator('#e1 a[href="#v1"]').click();
    await expect.poll(() => page.locator('#v1').isVisible()).toBe(true);
    await close();
  });

  test('works by keyboard alone: skip link, filter, scroll device, folds', async () => {
    const { page, close } = await open(browser, html);
    await page.keyboard.press('Tab');
    expect(await inPage(page, 'document.activeElement.className')).toBe('skip');
    await page.keyboard.press('Enter');
    await expect.poll(() => inPage(page, 'location.hash')).toBe('#main');
    const reached = new Set<string>();
    for (let press = 0; press < 120; press += 1) {
      await page.keyboard.press('Tab');
      reached.add(await inPage<string>(page, ACTIVE));
    }
    for (const wanted of ['ft', 'fd', 'fc', 'board', 'summary']) expect([...reached]).toContain(wanted);
    await page.locator('#appendix > summary').focus();
    await page.keyboard.press('Enter');
    expect(await page.locator('#v1').isVisible()).toBe(true);
    await page.locator('#ft').focus();
    await page.keyboard.type('press-2');
    await page.keyboard.press('Enter');
    expect(await shownRows(page)).toEqual(['e12']);
    await close();
  });
});
