/** Runs the program as on a laptop that lacks some programs: a PATH with links to the others alone. */
import { existsSync, mkdirSync, symlinkSync } from 'node:fs';
import path from 'node:path';
import type { Lab } from './lab.js';

const FOLDERS = ['/usr/bin', '/usr/sbin', '/bin', '/sbin'];

/** Programs that a run may use on Linux. */
const PROGRAMS = ['ip', 'ping', 'arping', 'tcpdump', 'dumpcap', 'sh', 'id'] as const;
export type Lacking = (typeof PROGRAMS)[number];

export function pathWithout(lab: Lab, ...lacking: readonly Lacking[]): string {
  const folder = path.join(lab.folder, `path-without-${lacking.join('-') || 'nothing'}`);
  if (existsSync(folder)) return folder;
  mkdirSync(folder);
  for (const program of PROGRAMS) {
    const place = FOLDERS.map((each) => path.join(each, program)).find((each) => existsSync(each));
    if (place !== undefined && !lacking.includes(program)) symlinkSync(place, path.join(folder, program));
  }
  return folder;
}
