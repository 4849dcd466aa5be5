/** What this program has cost the laptop. */
import { readFileSync } from 'node:fs';

/** sysconf(_SC_CLK_TCK) on Linux. */
const TICK_MS = 10;

/** Processor time so far, in milliseconds; on Linux with the programs that it started and that have ended (proc(5), cutime and cstime). */
export function processorMs(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000 + endedChildrenMs();
}

function endedChildrenMs(): number {
  if (process.platform !== 'linux') return 0;
  try {
    const fields = readFileSync('/proc/self/stat', 'utf8')
      .replace(/^.*\) /s, '')
      .split(' ');
    return (Number(fields[13]) + Number(fields[14])) * TICK_MS;
  } catch {
    return 0;
  }
}
