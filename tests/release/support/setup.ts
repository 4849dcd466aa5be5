/** What all tests of the release share, made once and side by side: the release, and a Windows (Wine) with nothing in it. */
import { execFile } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import type { TestProject } from 'vitest/node';
import { NODE, nodeFor } from '../../../bin/release/platforms.js';
import { installWindows, stopWindows } from './wine.js';

declare module 'vitest' {
  interface ProvidedContext {
    /** Folder of the release. */
    readonly release: string;
    /** Home of Wine for these tests; '' where this laptop has no Wine. */
    readonly windowsHome: string;
  }
}

export default async function setup(project: TestProject): Promise<() => void> {
  const release = mkdtempSync(path.join(tmpdir(), 'matchmark-release-'));
  const windowsHome = mkdtempSync(path.join(tmpdir(), 'matchmark-wine-'));
  const stop = (): void => {
    stopWindows(windowsHome);
    for (const folder of [release, windowsHome]) rmSync(folder, { recursive: true, force: true });
  };
  const program = fileURLToPath(new URL('../../../bin/release/release.js', import.meta.url));
  const making = promisify(execFile)(process.execPath, [program], {
    env: { ...process.env, RELEASE_DIR: release },
  });
  try {
    await Promise.all([making, installWindows(windowsHome), nodeFor(NODE.linuxX64Next)]);
  } catch (error) {
    stop();
    throw error;
  }
  project.provide('release', release);
  project.provide('windowsHome', windowsHome);
  return stop;
}
