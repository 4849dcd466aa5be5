import { readFile } from 'node:fs/promises';
import { networkInterfaces, release } from 'node:os';
import { programs } from '../probe/programs.js';
import type { VantageDeps } from './read.js';

/** This machine, for readVantage and findAbilities. */
export function systemDeps(): VantageDeps {
  const { geteuid } = process;
  return {
    programs,
    networkInterfaces,
    platform: process.platform,
    release: release(),
    ...(geteuid === undefined ? {} : { effectiveUser: () => geteuid.call(process) }),
    readText: async (path) => {
      try {
        return await readFile(path, 'utf8');
      } catch {
        return undefined;
      }
    },
  };
}
