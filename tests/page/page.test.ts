import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { hashSource } from '../../src/page/head.js';
import { renderPage } from '../../src/page/render.js';
import { SCRIPT } from '../../src/page/script.js';
import { headingOf } from '../../src/result/jobs.js';
import { outcomeOf } from '../../src/result/outcome.js';
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

  test('sheet one comes first, then matrix, jobs, notes, redundancy, equipment and the rest; the appendix is last and folded', async () => {
    const { page, close } = await open(browser, html);
    const titles = await page.locator('main > section:not(.first) > h2').allInnerTexts();
    expect(titles.map((title) => title.replace(/^\d+\s+/, ''))).toEqual([
      'Matrix',
      'Jobs',
      'Notes',
      'Redundancy',
      'Equipment',
      'What was looked at by eye',
      'Default addresses and strangers',
      'Words on this page',
      'In a year',
    ]);
    expect(await page.locator('.outcome h2').textContent()).toBe(outcomeOf(sampleMatrix()).headline);
    expect(await page.locator('.item .sev').allInnerTexts()).toEqual(['STOP', 'FIX', 'FIX', 'FIX', 'FIX']);
    expect(await page.locator('main > details').getAttribute('id')).toBe('appendix');
    expect(await page.locator('#evidence').isVisible()).toBe(false);
    await close();
  });

  test('sheet one has the title block, the drawing, each job in a line, each group in a row and the signatures', async () => {
    const by = { ...sampleMatrix().run, by: 'R. Vance' };
    const evidence = sampleMatrix().evidence.map((one) => ({
      ...one,
      vantage: { ...one.vantage, zoneMinutes: 60 },
    }));
    const { page, close } = await open(
      browser,
      renderPage({ ...sampleMatrix(), run: by, evidence }, { digest: DIGEST }),
    );
    const block = (await page.locator('.sheet dl div').allTextContents()).join('; ');
    // T0 is 03:04:05 UTC, an hour behind the place that was looked from.
    expect(block).toContain('When2030-01-02 04:04 to 04:05 UTC+01:00');
    expect(block).toContain('Looked frombench');
    expect(block).toContain('Looked at byR. Vance');
    expect(block).not.toContain(sampleMatrix().run.id);
    expect(await page.locator('.first .job-lines li').count()).toBe(5);
    expect(await page.locator('.first .groups-table tbody tr').count()).toBe(3);
    expect(await page.locator('.first .strip').count()).toBe(1);
    expect(await page.locator('.first .signing td .blank').count()).toBe(9);
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

  test('each job leads to its rows, and the rows lead back', async () => {
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

  test('a job names its subject, what to do, and the command that checks it again; what follows is folded beneath it', async () => {
    const id = 'vault-1/B/data0';
    const sample = sampleMatrix();
    const cause = aFinding('service-refused', 'fix', id, 'ssh is refused.', { about: [id] });
    const path = { ...aFinding('path-missing', 'fix', id, 'The path is not there.'), follows: [cause.id] };
    const { page, close } = await open(
      browser,
      renderPage({ ...sample, findings: [...sample.findings, cause, path] }),
    );
    const item = page.locator('.item', { hasText: 'ssh is refused.' });
    expect(await item.locator('.title').textContent()).toBe(headingOf(cause));
    expect(await item.locator('.cmd').textContent()).toBe('matchmark check test.yaml --only vault-1');
    const fold = item.locator('details.follows');
    expect(await fold.getAttribute('open')).toBeNull();
    expect(await fold.locator('summary').textContent()).toBe('1 more finding follows from it');
    await fold.locator('summary').click();
    await expect.poll(() => fold.getByText('The path is not there.').isVisible()).toBe(true);
    await close();
  });

  test('a row names its own jobs and those of its group', async () => {
    const { page, close } = await open(browser, html);
    const small = async (number: number): Promise<string | null> =>
      page.locator(`#e${number} td`).first().locator('small').textContent();
    // vault-1/B/data0 is too slow itself; vault-1/A/data0 matches, and its group waits for job 5.
    expect(await small(5)).toBe('job 4; group: job 5');
    expect(await small(3)).toBe('group: job 5');
    await close();
  });

  test('a vantage is not a column: five of them leave the matrix as wide as one', async () => {
    const five = renderPage(sampleMatrix(['bench', 'loft', 'cellar', 'roof', 'yard']));
    const heads = (markup: string): string[] =>
      [...markup.matchAll(/<th scope="col"[^>]*>([^<]*)/g)].map(([, title = '']) => title);
    const matrixHeads = (markup: string) =>
      heads(/<table class="matrix">[\s\S]*?<\/thead>/.exec(markup)?.[0] ?? '');
    expect(matrixHeads(five)).toEqual(matrixHeads(html));
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
            ?.replaceAll('\u00a0', ' ')
            .replace(/ (job|group).*/, '')
            .trim(),
        ),
      ),
    ).toEqual(new Set(['= matches', '≠ differs', '∅ missing', '? unproven']));
    const row = (await page.locator('#e2 td').allInnerTexts()).map((text) =>
      text.replaceAll('\u00a0', ' ').trim(),
    );
    expect(row.slice(1, 6)).toEqual(['≠ two devices', '= 0.4 ms', '= answers', '= answers', '= answers']);
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
      /4 paths, 2 work, 1 broken and 1 unproven; needs 1/,
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
          .filter((device) => device.left < frame.left - 1 || device.right > frame.right + 1 || device.top < frame.top - 1 || device.bottom > frame.bottom + 1);
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
    expect(await page.locator('.item').count()).toBe(5);
    await page.locator('#appendix > summary').click();
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
