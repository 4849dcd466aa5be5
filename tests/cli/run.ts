/** Runs a command line through main() with outputs that are kept, in a folder made for the test. */
import { mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { onTestFinished } from 'vitest';
import { main } from '../../src/cli/main.js';

export interface Ran {
  readonly status: number;
  readonly out: string;
  readonly err: string;
}

export async function run(
  argv: readonly string[],
  given: Parameters<typeof main>[1] & { readonly columns?: number } = {},
): Promise<Ran> {
  const { columns, ...deps } = given;
  const written = { out: '', err: '' };
  const keep = (stream: 'out' | 'err') => ({
    write: (text: string) => {
      written[stream] += text;
    },
    isTTY: columns !== undefined,
    columns,
  });
  const status = await main(argv, {
    stdout: keep('out'),
    stderr: keep('err'),
    env: { LANG: 'C.UTF-8', NO_COLOR: '1' },
    platform: 'linux',
    date: () => new Date('2030-01-02T03:04:05Z'),
    ...deps,
  });
  return { status, ...written };
}

/** A folder with these files, gone after the test. */
export function folderWith(files: Readonly<Record<string, string | Uint8Array>>): string {
  const folder = mkdtempSync(path.join(tmpdir(), 'matchmark-cli-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  for (const [name, content] of Object.entries(files)) {
    mkdirSync(path.dirname(path.join(folder, name)), { recursive: true });
    writeFileSync(path.join(folder, name), content);
  }
  return folder;
}

/** Everything below a folder, by name. */
export function namesIn(folder: string): string[] {
  return readdirSync(folder, { recursive: true }).map(String).sort();
}
