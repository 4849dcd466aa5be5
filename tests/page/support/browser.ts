/** One Chromium for the page tests. Where it is absent the tests are skipped, and say so. */
import { existsSync } from 'node:fs';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { type Browser, type BrowserContextOptions, chromium, type Page } from 'playwright-core';

export const CHROMIUM = process.env.MATCHMARK_CHROMIUM ?? '/usr/bin/chromium';
export const hasChromium = existsSync(CHROMIUM);
if (!hasChromium)
  process.stderr.write(
    `SKIPPED: page tests need Chromium at ${CHROMIUM} (or MATCHMARK_CHROMIUM); none is there.\n`,
  );

export interface Opened {
  readonly page: Page;
  /** Requests other than the document itself. */
  readonly requests: string[];
  /** Console errors, page errors and policy violations. */
  readonly complaints: string[];
  close(): Promise<void>;
}

export async function launch(): Promise<Browser> {
  return chromium.launch({
    executablePath: CHROMIUM,
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
}

/** Opens the page as its user does: from a file. */
export async function open(
  browser: Browser,
  html: string,
  options: BrowserContextOptions = {},
): Promise<Opened> {
  const folder = await mkdtemp(join(tmpdir(), 'matchmark-page-'));
  const file = join(folder, 'matrix.html');
  await writeFile(file, html);
  const context = await browser.newContext(options);
  const page = await context.newPage();
  const url = pathToFileURL(file).href;
  const requests: string[] = [];
  const complaints: string[] = [];
  page.on('request', (request) => {
    const target = request.url();
    if (target.split('#')[0] !== url && !target.startsWith('data:')) requests.push(target);
  });
  page.on('console', (message) => {
    if (message.type() === 'error' || message.type() === 'warning') complaints.push(message.text());
  });
  page.on('pageerror', (error) => complaints.push(error.message));
  await page.goto(url);
  return {
    page,
    requests,
    complaints,
    close: async () => {
      await context.close();
      await rm(folder, { recursive: true });
    },
  };
}

/** Evaluates a script in the page. Text, because the project is compiled without the types of a browser. */
export async function inPage<Value>(page: Page, script: string): Promise<Value> {
  return (await page.evaluate(script)) as Value;
}

export const OPEN_ALL_FOLDS = 'for (const fold of document.querySelectorAll("details")) fold.open = true';
