import { execFileSync, spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** Version of tshark, or undefined where it is not installed: then the caller skips and says so. */
export const TSHARK = /TShark[^\d]*([\d.]+)/.exec(
  spawnSync('tshark', ['-v'], { encoding: 'utf8' }).stdout ?? '',
)?.[1];

/** One row of field texts per frame; several values of one field are joined with commas. */
export function tsharkFields(
  capture: Uint8Array,
  fields: readonly string[],
  options: readonly string[] = [],
): string[][] {
  const folder = mkdtempSync(join(tmpdir(), 'matchmark-tshark-'));
  try {
    const file = join(folder, 'capture');
    writeFileSync(file, capture);
    const args = ['-n', '-r', file, '-T', 'fields', ...options, ...fields.flatMap((field) => ['-e', field])];
    const out = execFileSync('tshark', args, { encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'] });
    return out
      .split('\n')
      .slice(0, -1)
      .map((line) => line.split('\t'));
  } finally {
    rmSync(folder, { recursive: true });
  }
}
