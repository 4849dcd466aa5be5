import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { hashSource } from '../../src/page/head.js';
import { renderPage } from '../../src/page/render.js';
import { SCRIPT } from '../../src/page/script.js';
import { aFinding, DIGEST } from '../support/matrix.js';
import { sampleMatrix } from '../support/sample-matrix.js';
import { hasChromium, inPage, launch, OPEN_ALL_FOLDS, open } from './support/browser.js';

const html = renderPage(sampleMatrix(), { digest: DIGEST });

test('the policy forbids everything but the one style and the one script, named by hash (CSP Level 3 §2.3.1)', () => {
  const policy = /content="(default-src[^"]*)"/.exec(html)?.[1] ?? '';
  const style = /<style>([\s\S]*?)<\/style>/.exec(html)?.[1] ?? '';
  expect(policy.split('; ')).toEqual([
    "default-src 'none'",
    `style-src '${hashSource(style)}'`,
    `script-src '${hashSource(SCRIPT)}'`,
    'img-src data:',
    "base-uri 'none'",
    "form-action 'none'",
  ]);
  expect(html.match(/<style/g)).toHaveLength(1);
  expect(html.match(/<script/g)).toHaveLength(1);
  expect(html).not.toMatch(/<[^>]+\s(style|on[a-z]+)=/i);
});

test('the same result gives the same page', () => {
  expect(renderPage(sampleMatrix(), { digest: DIGEST })).toBe(html);
});

describe.skipIf(!hasChromium)('in a browser', () => {
  let browser: Browser;
  beforeAll(async () => {
    browser = await launch();
  });
  afterAll(() => browser?.close());

  test('what is wrong comes first, then matrix, pictures, racks, observations, evidence, method, plan, sign-off', async () => {
    const { page, close } = await open(browser, html);
    const titles = await page.locator('main h2').allInnerTexts();
    expect(titles.map((title) => title.replace(/^\d+\s+/, ''))).toEqual([
      'Outcome, and what to do first',
      'Matrix',
      'Redundancy',
      'Racks',
      'Observations',
      'Beside the plan',
      'Evidence',
      'How it was measured',
      'Plan',
      'Sign-off',
    ]);
    expect(await page.locator('.outcome').textContent()).toMatch(/^Stop: 1 thing to make safe/);
    expect(await page.locator('.item .sev').allInnerTexts()).toEqual([
      'STOP',
      'FIX',
      'FIX',
      'FIX',
      'FIX',
      'NOTE',
      'NOTE',
    ]);
    await close();
  });

  test('asks for nothing beside itself and breaks no rule of its own policy', async () => {
    const { page, requests, complaints, close } = await open(browser, html);
    await page.locator('#ft').fill('vault');
    await page.locator('a[href="#e1"]').first().click();
    expect(requests).toEqual([]);
    expect(complaints).toEqual([]);
    await close();
  });

  test('the policy bites: markup that runs or fetches is refused by the browser', async () => {
    const tampered = html.replace(
      '<main id="main">',
      '<main id="main"><script>document.title="run"</script><p style="color:red">x</p><img src="http://192.0.2.1/x.png" alt="">',
    );
    const { page, complaints, close } = await open(browser, tampered);
    expect(await page.title()).not.toBe('run');
    expect(complaints.filter((line) => /Content Security Policy/i.test(line)).length).toBeGreaterThanOrEqual(
      3,
    );
    await close();
  });

  test('each finding leads to its cells, and the cells lead back', async () => {
    const { page, close } = await open(browser, html);
    for (const item of await page.locator('.item').all()) {
      const id = await item.getAttribute('id');
      for (const link of await item.locator('a[href^="#e"]').all()) {
        const row = page.locator(`tr${await link.getAttribute('href')}`);
        expect(await row.locator(`a[href="#${id}"]`).count()).toBe(1);
      }
    }
    const target = '#e2';
    await page.locator(`#f1 a[href="${target}"]`).click();
    await expect.poll(() => page.locator(target).evaluate((row) => row.matches(':target'))).toBe(true);
    // Scrolling may be smooth; the row must end up in sight and below the heads that stick.
    await expect
      .poll(() =>
        inPage<boolean>(
          page,
          `(() => {
            const row = document.querySelector('${target}').getBoundingClientRect();
            const head = document.querySelector('.matrix thead').getBoundingClientRect();
            return row.bottom <= innerHeight && row.top >= head.bottom - 1;
          })()`,
        ),
      )
      .toBe(true);
    await close();
  });

  test('the heading of a finding names its subject; what follows from others leads to them and hides nothing', async () => {
    const id = 'vault-1/B/data0';
    const sample = sampleMatrix();
    const more = [
      aFinding('service-refused', 'fix', id, 'ssh is refused.', { about: [id] }),
      aFinding('service-refused', 'fix', id, 'https is refused.', { about: [id] }),
      aFinding('path-missing', 'fix', id, 'The path is not there.', {
        about: [id],
        advice: 'Bring it up.',
        evidence: ['https refuses'],
      }),
    ];
    const { page, close } = await open(
      browser,
      renderPage({ ...sample, findings: [...sample.findings, ...more] }),
    );
    const item = page.locator('.item', { hasText: 'The path is not there.' });
    expect(await item.locator('.title').textContent()).toBe(`A planned path is not there: ${id}`);
    expect((await item.locator('.do').first().textContent())?.replace(/\d+/g, 'n')).toBe(
      'Follows from n, n (A planned service refuses: vault-n/B/datan): settle that, then check again.',
    );
    const messages = [];
    for (const link of await item.locator('.do').first().locator('a').all())
      messages.push(await page.locator(`${await link.getAttribute('href')} .left`).textContent());
    expect(messages).toEqual(['ssh is refused.', 'https is refused.']);
    expect(await item.locator('details').getAttribute('open')).toBeNull();
    await item.locator('summary').click();
    await expect.poll(() => item.getByText('Bring it up.').isVisible()).toBe(true);
    expect(await item.getByText('https refuses').isVisible()).toBe(true);
    // A fault that nothing causes is open as a whole.
    expect(await page.locator('#f1 details').count()).toBe(0);
    await close();
  });

  test('the verdict names its findings on a line of its own: notes last, each link with a name to be read out', async () => {
    const id = 'vault-1/B/data0';
    const sample = sampleMatrix();
    const note = aFinding('paths-unequal', 'note', 'vault-1 data', 'Unequal.', { about: [id] });
    const { page, close } = await open(
      browser,
      renderPage({ ...sample, findings: [...sample.findings, note] }),
    );
    const row = page.locator('tr', { has: page.getByRole('link', { name: 'data0', exact: true }) }).nth(1);
    const cell = row.locator('td').first();
    expect((await cell.textContent())?.replace(/\d+/g, 'n')).toBe('≠ differs see n, n; note n');
    const [verdict, own] = await Promise.all([
      cell.locator('b').boundingBox(),
      cell.locator('small').boundingBox(),
    ]);
    expect(own?.y).toBeGreaterThan(verdict?.y ?? Number.POSITIVE_INFINITY);
    expect(await cell.getByRole('link', { name: /^finding \d+$/ }).count()).toBe(3);
    await close();
  });

  test('evidence is said once for the vantages that saw the same', async () => {
    const { page, close } = await open(browser, renderPage(sampleMatrix(['bench', 'loft'])));
    await page.evaluate(OPEN_ALL_FOLDS);
    const text = await page.locator('#v1').textContent();
    expect(text?.match(/Address: claimed by/g)).toHaveLength(1);
    expect(text).toContain('from bench and loft');
    await close();
  });

  test('no link on the page leads nowhere', async () => {
    const { page, close } = await open(browser, html);
    const dangling = await inPage<string[]>(
      page,
      `[...document.querySelectorAll('a[href]')]
        .map((link) => link.getAttribute('href'))
        .filter((href) => !href.startsWith('#') || document.getElementById(href.slice(1)) === null)`,
    );
    expect(dangling).toEqual([]);
    const ids = await inPage<string[]>(page, `[...document.querySelectorAll('[id]')].map(({ id }) => id)`);
    expect(new Set(ids).size).toBe(ids.length);
    await close();
  });

  test('a cell says its outcome in sign and word', async () => {
    const { page, close } = await open(browser, html);
    const verdicts = await page.locator('.matrix tbody tr[id] > td:nth-of-type(1)').allInnerTexts();
    expect(
      new Set(
        verdicts.map((text) =>
          text
            .split('\n')[0]
            ?.replace(/ (see|note) .*/, '')
            .trim(),
        ),
      ),
    ).toEqual(new Set(['= matches', '≠ differs', '∅ missing', '? unproven']));
    const row = (await page.locator('#e2 td').allInnerTexts()).map((text) => text.trim());
    expect(row[1]).toBe('≠ claimed by 2 boxes');
    expect(row[2]).toBe('= 0.4 ms');
    expect(row[3]).toBe('= https ssh snmp');
    await close();
  });

  test('each group is drawn, its line styles tell the states apart, its single points are named', async () => {
    const { page, close } = await open(browser, html);
    expect(await page.locator('svg.paths').count()).toBe(3);
    const dashes = await inPage<string[]>(
      page,
      `['live', 'dead', 'unproven'].map((state) => {
        const line = document.querySelector('#g1 .paths .line.' + state);
        return line === null ? 'absent' : getComputedStyle(line).strokeDasharray;
      })`,
    );
    expect(new Set(dashes).size).toBe(3);
    expect(dashes).not.toContain('absent');
    const drawing = page.locator('#g1 svg.paths');
    expect(await drawing.locator('text.single').allTextContents()).toEqual([
      'single point',
      'Single point: network data-a',
    ]);
    expect(await drawing.locator('> title').textContent()).toBe('Paths of vault-1 data');
    expect(await drawing.locator('> desc').textContent()).toMatch(
      /4 paths, 2 live, 1 dead and 1 unproven; needs 1/,
    );
    await close();
  });

  test('no stroke of a drawing runs outside it', async () => {
    const { page, close } = await open(browser, html);
    const outside = await inPage<unknown[]>(
      page,
      `[...document.querySelectorAll('svg.paths, .rack svg')].flatMap((svg) => {
        const frame = svg.getBoundingClientRect();
        return [...svg.querySelectorAll('rect,text,path')]
          .map((shape) => shape.getBoundingClientRect())
          .filter((box) => box.left < frame.left - 1 || box.right > frame.right + 1 || box.top < frame.top - 1 || box.bottom > frame.bottom + 1);
      })`,
    );
    expect(outside).toEqual([]);
    await close();
  });

  test('rack units count from the bottom, and devices that claim one unit stand beside each other', async () => {
    const { page, close } = await open(browser, html);
    const units = await page
      .locator('.rack')
      .first()
      .locator('.u')
      .evaluateAll((marks) =>
        marks.map((mark) => ({ unit: Number(mark.textContent), y: mark.getBoundingClientRect().y })),
      );
    const byHeight = [...units].sort((a, b) => b.y - a.y).map(({ unit }) => unit);
    expect(byHeight).toEqual([...byHeight].sort((a, b) => a - b));
    expect(byHeight[0]).toBe(1);
    const [left, right] = await page
      .locator('.rack')
      .nth(1)
      .locator('.unit')
      .evaluateAll((boxes) => boxes.map((box) => box.getBoundingClientRect().x));
    expect(left).not.toBe(right);
    await close();
  });

  test('without scripts everything is there and nothing is dead', async () => {
    const { page, close } = await open(browser, html, { javaScriptEnabled: false });
    expect(await page.locator('#filter').isVisible()).toBe(false);
    expect(await page.locator('.matrix tbody tr[id^=e]').count()).toBe(12);
    expect(await page.locator('.item').count()).toBe(7);
    const fold = page.locator('details', { has: page.locator('#v1') });
    await fold.locator('summary').click();
    expect(await page.locator('#v1').textContent()).toContain('Address: claimed by 00:00:5e:00:53:11');
    await close();
  });

  test.each([320, 360, 768, 1280, 1920, 3508])(
    'at %i px the page itself does not scroll sideways',
    async (width) => {
      const { page, close } = await open(browser, renderPage(sampleMatrix(['bench', 'loft', 'cellar'])), {
        viewport: { width, height: 800 },
      });
      await page.evaluate(OPEN_ALL_FOLDS);
      expect(await inPage<number>(page, 'document.documentElement.scrollWidth')).toBeLessThanOrEqual(width);
      await close();
    },
  );

  test('heads of the matrix and its first column stay in sight while it scrolls', async () => {
    const { page, close } = await open(browser, renderPage(sampleMatrix(['bench', 'loft', 'cellar'])), {
      viewport: { width: 700, height: 420 },
    });
    const board = page.locator('.board');
    await board.evaluate((box) => box.scrollTo(400, 300));
    const spots = await board.evaluate((box) => {
      const frame = box.getBoundingClientRect();
      const head = box.querySelector('thead')?.getBoundingClientRect();
      const first = box.querySelector('tr[id] th')?.getBoundingClientRect();
      return {
        scrolled: [box.scrollLeft, box.scrollTop],
        head: (head?.top ?? 0) - frame.top,
        first: (first?.left ?? 0) - frame.left,
      };
    });
    expect(spots.scrolled[0]).toBeGreaterThan(300);
    expect(spots.scrolled[1]).toBeGreaterThan(200);
    expect(spots.head).toBeLessThanOrEqual(1.5);
    expect(spots.first).toBeLessThanOrEqual(1.5);
    await close();
  });
});
