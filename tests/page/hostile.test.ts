import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { renderPage } from '../../src/page/render.js';
import { renderCsv, renderEquipmentCsv, renderFindingsCsv } from '../../src/result/csv.js';
import { renderSummary } from '../../src/terminal/summary.js';
import { sampleMatrix } from '../support/sample-matrix.js';
import { hasChromium, launch, open } from './support/browser.js';

const ATTACK = `"><script>document.title='owned'</script><img src=x onerror="document.title='owned'"></style></title></svg>\u202e\u0007\u001b[31m\u0000'&amp;\ud800`;
const LONG = 'A'.repeat(1_000_000);

/** Keys whose values are words of the format itself: a reader of results refuses others. */
const FIXED = new Set([
  'format',
  'verdict',
  'severity',
  'outcome',
  'reach',
  'state',
  'fact',
  'by',
  'kind',
  'source',
  'stage',
  'protocol',
  'duplicateCheck',
  'told',
  'media',
  'role',
  'operStatus',
  'adminStatus',
  'startedAt',
  'finishedAt',
]);
/** Keys that tie parts together: they keep their value, with the attack behind it. */
function poison<Value>(value: Value, attack: string, key = ''): Value {
  if (typeof value === 'string') return (FIXED.has(key) ? value : `${value}${attack}`) as Value;
  if (Array.isArray(value)) return value.map((each) => poison(each, attack, key)) as Value;
  if (value !== null && typeof value === 'object')
    return Object.fromEntries(
      Object.entries(value).map(([name, inner]) => [name, poison(inner, attack, name)]),
    ) as Value;
  return value;
}

const plain = sampleMatrix();
const hostile: Matrix = poison(plain, ATTACK);

test('no control, bidirectional or lone surrogate character reaches the page, the terminal or CSV', () => {
  const acting =
    /[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]|[\ud800-\udbff](?![\udc00-\udfff])/;
  expect(renderPage(hostile)).not.toMatch(acting);
  expect(renderSummary(hostile, { width: 80, colour: false, unicode: true })).not.toMatch(acting);
  expect(renderCsv(hostile).replaceAll('\r\n', '\n')).not.toMatch(acting);
  expect(renderEquipmentCsv(hostile).replaceAll('\r\n', '\n')).not.toMatch(acting);
  expect(renderFindingsCsv(hostile).replaceAll('\r\n', '\n')).not.toMatch(acting);
});

test('a text of a megabyte is cut, and its length told', () => {
  const html = renderPage(poison(plain, LONG));
  expect(html.length).toBeLessThan(2_000_000);
  expect(html).toMatch(/A… \(cut, 100\d{4} characters\)/);
  expect(renderSummary(poison(plain, LONG), { width: 80, colour: false, unicode: true }).length).toBeLessThan(
    200_000,
  );
});

describe.skipIf(!hasChromium)('in a browser', () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await launch();
  });
  afterAll(() => browser?.close());

  test('markup in any text is text: the page has the same elements, nothing runs, nothing is fetched', async () => {
    const count =
      'Object.entries([...document.querySelectorAll("*")].reduce((sum, { tagName }) => ({ ...sum, [tagName]: (sum[tagName] ?? 0) + 1 }), {})).sort()';
    const clean = await open(browser, renderPage(plain));
    const expected = await clean.page.evaluate(count);
    await clean.close();
    // The policy is switched off, so that escaping alone has to hold.
    const { page, requests, complaints, close } = await open(browser, renderPage(hostile), {
      bypassCSP: true,
    });
    expect(await page.title()).toContain('<script>');
    expect(requests).toEqual([]);
    expect(complaints).toEqual([]);
    const found = (await page.evaluate(count)) as [string, number][];
    // Words that long leave sheet one room for the smaller drawing only, which has no joints.
    const names = (list: readonly (readonly [string, number])[]) =>
      list.map(([name]) => name).filter((name) => name !== 'circle');
    expect(names(found)).toEqual(names(expected as [string, number][]));
    for (const one of ['SCRIPT', 'STYLE', 'TITLE', 'BODY']) {
      const amount = (list: readonly (readonly [string, number])[]) =>
        list.find(([name]) => name === one)?.[1];
      expect([one, amount(found)]).toEqual([one, amount(expected as [string, number][])]);
    }
    expect(await page.evaluate('document.querySelectorAll("img,[onerror]").length')).toBe(0);
    await close();
  });

  test('a hostile site name cannot leave the string at the foot of the printed page', async () => {
    const site = `x";}}@media all{body{display:none}}/*`;
    const { page, close } = await open(browser, renderPage({ ...plain, plan: { ...plain.plan, site } }));
    expect(await page.locator('body').isVisible()).toBe(true);
    expect(await page.locator('h1').textContent()).toContain(site);
    await close();
  });
});
