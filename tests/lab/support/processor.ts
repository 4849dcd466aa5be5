/** What a program costs, read from /proc (proc(5)). */
import { readdirSync, readFileSync } from 'node:fs';

/** sysconf(_SC_CLK_TCK) on Linux. */
const TICKS_A_SECOND = 100;

interface Row {
  readonly parent: number;
  readonly ownS: number;
  readonly endedChildrenS: number;
}

function rowOf(pid: string): Row | undefined {
  try {
    const fields = readFileSync(`/proc/${pid}/stat`, 'utf8')
      .replace(/^.*\) /s, '')
      .split(' ');
    const seconds = (...at: number[]): number =>
      at.reduce((sum, field) => sum + Number(fields[field]), 0) / TICKS_A_SECOND;
    return { parent: Number(fields[1]), ownS: seconds(11, 12), endedChildrenS: seconds(13, 14) };
  } catch {
    return undefined;
  }
}

/** Processor seconds so far of a process, of all that it started and is there still, and of all that it started and waited for. */
export function processorSeconds(pid: number): number {
  const rows = new Map(
    readdirSync('/proc')
      .filter((name) => /^\d+$/.test(name))
      .flatMap((name) => {
        const row = rowOf(name);
        return row === undefined ? [] : [[Number(name), row] as const];
      }),
  );
  const of = (one: number): number => {
    const row = rows.get(one);
    if (row === undefined) return 0;
    const children = [...rows].filter(([, { parent }]) => parent === one);
    return children.reduce((sum, [child]) => sum + of(child), row.ownS + row.endedChildrenS);
  };
  return of(pid);
}
