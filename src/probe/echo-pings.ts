/** Many first echoes by a ping each, which xargs starts: it has a megabyte and starts one in a fraction of the time that Node takes. */
import { spawn } from 'node:child_process';
import { type BatchedEcho, type BatchProgram, batchProcess, byLines } from './batch.js';

/** Pings at a time. */
const AT_A_TIME = 96;

export const echoPings: BatchProgram<BatchedEcho> = {
  start: (waitSeconds) => {
    const ping = ['ping', '-n', '-q', '-c', '1', '-W', String(waitSeconds)];
    const child = spawn('xargs', ['-n', '1', '-P', String(AT_A_TIME), ...ping], {
      stdio: ['pipe', 'pipe', 'ignore'],
      env: { ...process.env, LC_ALL: 'C' },
    });
    return batchProcess(child);
  },
  reader: blockReader,
};

/**
 * Many pings write into one pipe. What iputils prints at the end (`--- A ping statistics ---`, counts, times) is one write of less than
 * PIPE_BUF, which no other write comes between (POSIX write(2)).
 */
export function blockReader(settle: (address: string, echo: BatchedEcho) => void): (text: string) => void {
  let address: string | undefined;
  const take = (line: string): void => {
    const head = /^--- (\S+) ping statistics ---$/.exec(line)?.[1];
    if (head !== undefined) {
      address = head;
      return;
    }
    if (address === undefined) return;
    const counts = /^\d+ packets transmitted, (\d+) received(, \+\d+ errors)?/.exec(line);
    if (counts !== null) {
      // An ICMP error is a fact of its own, which only a ping with its lines can tell.
      if (counts[1] === '0') settle(address, counts[2] === undefined ? 'silent' : 'unknown');
      if (counts[1] === '0') address = undefined;
      return;
    }
    const least = /^rtt min\/avg\/max\/mdev = (\d+(?:\.\d+)?)\//.exec(line)?.[1];
    if (least === undefined) return;
    settle(address, { rttMs: Number(least) });
    address = undefined;
  };
  return byLines(take);
}
