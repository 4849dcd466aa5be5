/** Makes a release once for all tests of it, in a folder of its own. */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import type { TestProject } from 'vitest/node';

declare module 'vitest' {
  interface ProvidedContext {
    /** Folder of the release. */
    readonly release: string;
  }
}

export default function setup(project: TestProject): () => void {
  const folder = mkdtempSync(path.join(tmpdir(), 'matchmark-release-'));
  const program = fileURLToPath(new URL('../../../bin/release/release.js', import.meta.url));
  execFileSync(process.execPath, [program], {
    env: { ...process.env, RELEASE_DIR: folder },
    stdio: ['ignore', 'ignore', 'inherit'],
  });
  project.provide('release', folder);
  return () => rmSync(folder, { recursive: true, force: true });
}
