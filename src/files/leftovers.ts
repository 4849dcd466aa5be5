/** Files that a killed run left half written: known by their names, cleared by the next run, never sealed. */
import { lstat, readdir, rm } from 'node:fs/promises';
import path from 'node:path';
import { isAlive } from './alive.js';

/** Older versions wrote `matrix.json.part-123` and `.matchmark-123`. */
const LEFTOVER = /^\.matchmark-(\d+)-[0-9a-f]{16}\.part$|^\.matchmark-(\d+)$|\.part-(\d+)$/;
/** Written on another laptop, or under a process number that somebody else has now: nobody writes for an hour. */
const SURELY_OLD_MS = 3_600_000;

/** Beside the document, so that renaming it is one step. The name cannot be guessed and laid there beforehand. */
export function partName(pid: number, random: string): string {
  return `.matchmark-${pid}-${random}.part`;
}

export function isLeftover(name: string): boolean {
  return LEFTOVER.test(name);
}

/** Removes what is nobody's any more. Files only, links themselves and never what they lead to. */
export async function clearLeftovers(folder: string, nowMs: number): Promise<void> {
  for (const name of await readdir(folder)) {
    const match = LEFTOVER.exec(name);
    if (match === null) continue;
    const pid = Number(match[1] ?? match[2] ?? match[3]);
    const file = path.join(folder, name);
    const facts = await lstat(file).catch(() => undefined);
    if (facts === undefined || facts.isDirectory()) continue;
    if (pid === process.pid || (isAlive(pid) && nowMs - facts.mtimeMs < SURELY_OLD_MS)) continue;
    await rm(file, { force: true }).catch(() => {});
  }
}
