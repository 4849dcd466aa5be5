/** Runs a program of the release as a user would, in a folder that has nothing else in it. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { onTestFinished } from 'vitest';

export interface Ran {
  readonly status: number | null;
  readonly out: string;
  readonly err: string;
}

export function emptyFolder(): string {
  const folder = mkdtempSync(path.join(tmpdir(), 'matchmark-carried-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

/** `cwd` also is the home, so that nothing of this laptop's user helps. */
export function run(program: string, args: readonly string[], cwd: string): Ran {
  const { status, stdout, stderr, error } = spawnSync(program, args, {
    cwd,
    encoding: 'utf8',
    env: { PATH: '/usr/bin:/bin', HOME: cwd, LANG: 'C.UTF-8', NO_COLOR: '1' },
    timeout: 60_000,
  });
  if (error !== undefined) throw error;
  return { status, out: stdout, err: stderr };
}

/** A text that was wrapped for a terminal, as it was before. */
export function oneLine(wrapped: string): string {
  return wrapped.replace(/\s+/g, ' ');
}
