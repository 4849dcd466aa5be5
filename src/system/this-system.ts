import { readFile } from 'node:fs/promises';
import { networkInterfaces } from 'node:os';
import { openSystem } from './open.js';
import { programs } from './programs.js';
import type { System } from './types.js';

let opened: System | undefined;

/** The system that this runs on. One for the whole process: on Windows it keeps one helper. */
export function thisSystem(): System {
  const { geteuid } = process;
  opened ??= openSystem({
    programs,
    networkInterfaces,
    platform: process.platform,
    ...(geteuid === undefined ? {} : { effectiveUser: () => geteuid.call(process) }),
    readText: (path) => readFile(path, 'utf8').catch(() => undefined),
  });
  return opened;
}
