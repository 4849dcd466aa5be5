/**
 * Ends what we started when we are killed and can not do it ourselves (POSIX): a shell that reads our pipe, and whose reading ends with
 * us. Each line is the list of groups that run now; the last one counts. On Windows captures carry a bound of their own instead.
 */
import { type ChildProcess, spawn } from 'node:child_process';

const SCRIPT = `left=
while IFS= read -r line; do left=$line; done
for group in $left; do kill -s TERM -- "-$group" 2>/dev/null; done
[ -z "$left" ] || sleep 1
for group in $left; do kill -s KILL -- "-$group" 2>/dev/null; done`;

const groups = new Set<number>();
let watcher: ChildProcess | undefined;

export const watched = {
  add: (group: number): void => {
    groups.add(group);
    tell();
  },
  delete: (group: number): void => {
    if (groups.delete(group)) tell();
  },
};

function tell(): void {
  if (process.platform === 'win32') return;
  if (watcher === undefined) {
    if (groups.size === 0) return;
    try {
      watcher = spawn('/bin/sh', ['-c', SCRIPT], { stdio: ['pipe', 'ignore', 'ignore'], detached: true });
    } catch {
      // No more files may be open: tried again with the next program.
      return;
    }
    watcher.on('error', () => {});
    watcher.stdin?.on('error', () => {});
    watcher.unref();
    // A pipe of a child can be let go of; its type does not tell.
    const pipe: unknown = watcher.stdin;
    if (typeof pipe === 'object' && pipe !== null && 'unref' in pipe && typeof pipe.unref === 'function')
      pipe.unref();
  }
  watcher.stdin?.write(`${[...groups].join(' ')}\n`);
}
