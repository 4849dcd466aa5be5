/** The pages of review and compare: the look of the handover, the words of the terminal. */
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { compareRuns } from '../../src/compare/compare.js';
import { comparedSections, comparisonHeadline } from '../../src/compare/words.js';
import { renderComparePage } from '../../src/page/compare-page.js';
import { renderReviewPage } from '../../src/page/review-page.js';
import { reviewHeadline } from '../../src/review/headline.js';
import { visitList } from '../../src/review/packing.js';
import { aFinding } from '../support/matrix.js';
import { sampleMatrix, samplePlan } from '../support/sample-matrix.js';
import { hasChromium, inPage, launch, open } from './support/browser.js';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const findings = [
  aFinding('not-enough-addresses', 'stop', 'mgmt', 'mgmt needs 12 addresses and has 6.'),
  aFinding('literal-secret', 'note', 'site-ro', '<script>in the plan</script>'),
];
const { groups, capacity } = sampleMatrix();
const visit = visitList(samplePlan());
const review = renderReviewPage({
  site: 'Harbour Library',
  version: '1',
  files: [{ name: 'plan.yaml' }],
  ...{ findings, groups, capacity, visit },
});
const before = sampleMatrix();
const now = {
  ...before,
  endpoints: before.endpoints.map((each) =>
    each.id === 'press-2/hba0' ? { ...each, verdict: 'missing' as const } : each,
  ),
};
const comparison = compareRuns(before, now, '1');
const compared = renderComparePage(comparison);
const words = (html: string): string =>
  html
    .replace(/<span class="k">([^<]*)<\/span>/g, '$1')
    .replace(/<style>[\s\S]*?<\/style>|<[^>]*>/g, ' ')
    .replace(/\s+/g, ' ');

test('the review says what to decide, to free and to bring, in the words of the terminal', () => {
  const text = words(review);
  expect(text).toContain(reviewHeadline(findings));
  expect(text).toContain('mgmt needs 12 addresses and has 6.');
  for (const item of [...visit.free, ...visit.bring]) expect(text).toContain(`${item.what} ${item.text}`);
  expect(review).not.toContain('<script>in');
});

test('the comparison says what changed, in the words of the terminal', () => {
  const text = words(compared);
  expect(text).toContain(comparisonHeadline(comparison));
  const sections = comparedSections(comparison);
  expect(sections.length).toBeGreaterThan(0);
  for (const { title, rows } of sections)
    for (const part of [title, ...rows.flatMap(({ what, more = '' }) => [what, more])])
      expect(text).toContain(part);
});

describe.skipIf(!hasChromium)('in a browser', () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await launch();
  });
  afterAll(() => browser?.close());

  test('a review of a small plan is one sheet of Letter', async () => {
    const { page, close } = await open(browser, review);
    // Each page of a PDF is an object of the type Page (ISO 32000-1 §7.7.3.3).
    const pdf = (await page.pdf({ format: 'Letter' })).toString('latin1');
    expect([...pdf.matchAll(/\/Type \/Page\b/g)]).toHaveLength(1);
    await close();
  });

  test.each([
    ['review', review],
    ['compare', compared],
  ])('%s: axe finds nothing, nothing is fetched, and 360 px do not scroll sideways', async (_name, html) => {
    const { page, requests, complaints, close } = await open(browser, html, {
      viewport: { width: 360, height: 740 },
    });
    expect(await inPage<number>(page, 'document.documentElement.scrollWidth')).toBeLessThanOrEqual(360);
    expect([requests, complaints]).toEqual([[], []]);
    await close();
    const free = await open(browser, html, { bypassCSP: true });
    await free.page.addScriptTag({ content: axe });
    expect(
      await inPage(free.page, 'axe.run().then(({ violations }) => violations.map(({ id }) => id))'),
    ).toEqual([]);
    await free.close();
  });
});
