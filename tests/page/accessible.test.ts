import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Browser, BrowserContextOptions } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { renderPage } from '../../src/page/render.js';
import { aMatrix, DIGEST } from '../support/matrix.js';
import { sampleMatrix, samplePlan } from '../support/sample-matrix.js';
import { hasChromium, launch, OPEN_ALL_FOLDS, open } from './support/browser.js';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

const one = renderPage(sampleMatrix(), { digest: DIGEST });
const three = renderPage(sampleMatrix(['bench', 'loft', 'cellar']), { digest: DIGEST });
const bare = renderPage(
  aMatrix({ ...samplePlan(), endpoints: [], devices: [], groups: [] }, () => ({ verdict: 'unproven' }), {
    evidence: [],
  }),
);

interface AxeResult {
  readonly violations: readonly {
    readonly id: string;
    readonly nodes: readonly { readonly html: string; readonly failureSummary: string }[];
  }[];
}

describe.skipIf(!hasChromium)('axe-core finds nothing', () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await launch();
  });
  afterAll(() => browser?.close());

  test.each<[string, string, BrowserContextOptions]>([
    ['light', one, { viewport: { width: 1280, height: 900 }, colorScheme: 'light' }],
    ['dark', one, { viewport: { width: 1280, height: 900 }, colorScheme: 'dark' }],
    ['360 px', one, { viewport: { width: 360, height: 740 }, colorScheme: 'light' }],
    ['three vantages', three, { viewport: { width: 1920, height: 1000 }, colorScheme: 'dark' }],
    ['an empty result', bare, { viewport: { width: 1280, height: 900 } }],
  ])('%s', async (_name, html, options) => {
    // Only axe itself needs to pass the page's policy.
    const { page, close } = await open(browser, html, { ...options, bypassCSP: true });
    await page.evaluate(OPEN_ALL_FOLDS);
    await page.addScriptTag({ content: axe });
    const result = (await page.evaluate(
      'axe.run(document, { runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"] })',
    )) as AxeResult;
    const said = result.violations.map(
      ({ id, nodes }) => `${id}: ${nodes[0]?.html} ${nodes[0]?.failureSummary}`,
    );
    expect(said).toEqual([]);
    await close();
  });
});
