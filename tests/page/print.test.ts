import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { FactResult, Matrix } from '../../src/matrix/matrix.js';
import { renderPage } from '../../src/page/render.js';
import { outcomeOf } from '../../src/result/outcome.js';
import { aFact, serviceFacts } from '../support/facts.js';
import { hallMatrix } from '../support/hall-matrix.js';
import { aFinding, DIGEST } from '../support/matrix.js';
import { sampleMatrix } from '../support/sample-matrix.js';
import { hasChromium, inPage, launch, open } from './support/browser.js';

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
    expect(pages.length).toBeGreaterThan(2);
    for (const [index, page] of pages.entries()) {
      expect(page).toContain(`page ${index + 1} of ${pages.length}`);
      expect(page).toContain('Harbour Library, HL-2291');
      expect(page).toContain(`result ${DIGEST.slice(0, 16)}`);
    }
    expect(execFileSync('pdfinfo', [file]).toString()).toMatch(
      new RegExp(`Page size: +${width}.* x ${height}`),
    );
  });

  test.each(['A4', 'Letter'] as const)(
    'on %s sheet one stands alone, and holds all that is signed for',
    async (format) => {
      for (const matrix of [sampleMatrix(), hallMatrix(256, 3)]) {
        const { pages } = await print(renderPage(matrix, { digest: DIGEST }), format);
        const [first = '', second = ''] = pages;
        for (const part of [
          matrix.plan.site,
          'Jobs',
          'Redundancy',
          'Installed and measured by',
          'Received for the customer',
        ])
          expect(first).toContain(part);
        expect(first.replace(/\s+/g, ' ')).toContain(outcomeOf(matrix).headline);
        for (const { name } of matrix.groups) expect(first).toContain(name);
        expect(second).toMatch(/^\s*1\s+Matrix/);
      }
    },
  );

  test.each(['A4', 'Letter'] as const)(
    'on %s sheet one of 60 endpoints, three vantages and 20 groups names each group that is not redundant',
    async (format) => {
      const matrix = { ...hallMatrix(60, 3), groups: twentyGroups() };
      const { pages } = await print(renderPage(matrix, { digest: DIGEST }), format);
      const [first = '', second = ''] = pages;
      for (const { name, verdict } of matrix.groups)
        if (verdict !== 'redundant') expect(first).toContain(name);
      expect(first).toContain('Received for the customer');
      expect(second).toMatch(/^\s*1\s+Matrix/);
      expect(pages.length).toBeLessThan(13);
    },
  );

  test.each([
    ['A4', 695],
    ['Letter', 717],
  ] as const)(
    'on %s the widest matrix fits, so that the browser makes no sheet smaller; a sign stands with its word',
    async (format, width) => {
      const html = renderPage(wideMatrix());
      const { page, close } = await open(browser, html, { viewport: { width, height: 900 } });
      await page.emulateMedia({ media: 'print' });
      expect(await inPage(page, 'document.documentElement.scrollWidth')).toBe(width);
      await close();
      const text = (await print(html, format)).pages.join('\n');
      expect(text).toMatch(/data0 +[^\n]*= matches/);
      expect(text).not.toMatch(/^ *[=≠∅?]$/m);
      // Of a service that answers the sign alone: its name stands above.
      expect(text).toMatch(/= matches .*= += /);
    },
  );

  test('what follows from a job is on paper; the appendix is only when it is open', async () => {
    const sample = sampleMatrix();
    const cause = aFinding('service-refused', 'fix', 'vault-1/B/data0', 'ssh is refused.');
    const path = { ...aFinding('path-missing', 'fix', 'vault-1/B/data0', 'No path.'), follows: [cause.id] };
    const html = renderPage({ ...sample, findings: [cause, path] }, { digest: DIGEST });
    const closed = (await print(html, 'A4')).pages.join('\n');
    expect(closed).toContain('1.1');
    expect(closed).toContain('Installed and measured by');
    expect(closed).not.toContain('Says by SNMP');
    expect(closed.replace(/\s/g, '')).not.toContain(DIGEST);
    const opened = (
      await print(html.replace('<details id="appendix">', '<details id="appendix" open>'), 'A4')
    ).pages.join('\n');
    expect(opened).toContain('Says by SNMP: vault-1-a; storage controller; serial V1-0001');
    expect(opened).toMatch(/press-1\/hba1 →/);
    expect(opened.replace(/\s/g, '')).toContain(DIGEST);
  });

  test('no sheet ends with a heading of what stands on the next', async () => {
    const many = Array.from({ length: 12 }, (_, index) =>
      aFinding('duplicate-address', 'stop', `vault-${index + 1}`, 'Two devices answer for one address.'),
    );
    for (const endpoints of [24, 28, 32, 36, 40]) {
      const { pages } = await print(renderPage({ ...hallMatrix(endpoints, 1), findings: many }), 'A4');
      for (const page of pages)
        expect(page.replace(/\s*Long Hall \|.*\s*$/, '')).not.toMatch(
          /(Jobs|Make these safe first|before these are done\.)$/,
        );
    }
  });

  test('256 endpoints from 3 vantages stay under 25 sheets, 16 under 7', async () => {
    const { pages } = await print(renderPage(hallMatrix(256, 3)), 'A4');
    process.stderr.write(`256 x 3 on A4: ${pages.length} sheets\n`);
    expect(pages.length).toBeLessThan(25);
    expect(pages.length).toBeGreaterThan(6);
    const small = (await print(renderPage(sampleMatrix()), 'Letter')).pages.length;
    process.stderr.write(`12 on Letter: ${small} sheets\n`);
    expect(small).toBeLessThan(7);
  });

  test('a filter set on screen takes nothing away on paper', async () => {
    const { pages } = await print(renderPage(sampleMatrix()), 'A4', 'press-2');
    expect(pages.join('\n')).toContain('198.51.100.11');
  });

  test('the heads of the matrix stand on each of its sheets, and no row is torn', async () => {
    const { pages } = await print(renderPage(hallMatrix(120, 1)), 'A4');
    const rowsOn = pages.map((page) => [...page.matchAll(/^ *port\d /gm)].length);
    const matrixPages = pages.filter((_, index) => (rowsOn[index] ?? 0) > 0);
    expect(matrixPages.length).toBeGreaterThan(2);
    for (const page of matrixPages) {
      expect(page).toMatch(/Port +Verdict +On the link +Echo +https +ssh/);
      // The address stands under the port in the same cell: a torn row would leave them on two sheets.
      expect([...page.matchAll(/^ *198\.51\.10\d\.\d+/gm)].length).toBe(
        [...page.matchAll(/^ *port\d /gm)].length,
      );
    }
    expect(rowsOn.reduce((sum, rows) => sum + rows, 0)).toBe(120);
  });

  test('black is the only ink: every point of every page is a grey', async () => {
    const { file } = await print(renderPage(sampleMatrix(), { digest: DIGEST }), 'A4');
    const raw = execFileSync('pdftoppm', ['-r', '40', file], { maxBuffer: 256 << 20 });
    expect(coloured(raw)).toBe(0);
  });
});

const GROUPS = sampleMatrix().groups;

/** Four kinds of groups, five of each: lost, at risk, unproven and redundant. */
function twentyGroups(): Matrix['groups'] {
  const [first] = GROUPS;
  if (first === undefined) throw new Error('no group');
  return (['lost', 'at-risk', 'unproven', 'redundant'] as const).flatMap((verdict, kind) =>
    Array.from({ length: 5 }, (_, index) => ({
      ...first,
      name: `vault-${kind * 5 + index + 1} mgmt`,
      verdict,
      singlePoints: verdict === 'at-risk' ? [{ kind: 'switch' as const, name: 'loft-switch' }] : [],
    })),
  );
}

/** Every column that a matrix can have, with the longest that stands in each. */
function wideMatrix(): Matrix {
  const hall = hallMatrix(24, 3);
  const bench = hall.vantages[0]?.name ?? '';
  const facts = (index: number): FactResult[] => [
    aFact('address', index % 5 === 4 ? 'missing' : 'matches', { vantage: bench }),
    aFact('echo', 'matches', { vantage: bench }),
    ...serviceFacts(
      index % 3 === 0 ? 'https:refused ssh snmp iscsi-target tcp/3260 http' : 'https ssh:refused snmp nfs',
      bench,
    ),
    aFact('box', index % 4 === 1 ? 'differs' : 'matches', {
      measured: 'vault-3/B/mgmt',
      planned: 'vault-3/A: MAC 00:00:5e:00:53:0f',
      vantage: bench,
    }),
    aFact('link', 'matches', { planned: 'up', measured: 'up', vantage: hall.vantages[1]?.name ?? '' }),
    aFact('switch-port', index % 4 === 2 ? 'unproven' : 'matches', {
      planned: 'data-switch-a port12',
      measured: index % 4 === 2 ? '' : 'data-switch-a port12',
      vantage: hall.vantages[1]?.name ?? '',
    }),
    aFact('mtu', index % 6 === 1 ? 'unproven' : 'matches', { planned: '9000', vantage: bench }),
    aFact('portals', index % 6 === 2 ? 'unproven' : 'matches', { vantage: bench }),
  ];
  return {
    ...hall,
    endpoints: hall.endpoints.map((endpoint, index) => ({
      ...endpoint,
      port: `data${index % 8}`,
      address: `198.51.100.${100 + index}`,
      facts: facts(index),
    })),
  };
}

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
  if (images < 3) throw new Error(`only ${images} images read`);
  return points;
}
