/** The small process of burst-programs.ts: runs what it is sent and tells how it went. Ends when the channel closes. */
import type { FromHelper, ToHelper } from './burst-programs.js';
import { programs } from './programs.js';

const running = new Map<number, AbortController>();
const tell = (message: FromHelper): void => {
  if (process.connected) process.send?.(message);
};

// Ctrl-C reaches the whole group of the terminal; who sent us the programs decides what becomes of them.
process.on('SIGINT', () => {});
process.on('disconnect', () => process.exit());
process.on('message', (message: ToHelper) => {
  if ('cancel' in message) {
    running.get(message.cancel)?.abort();
    return;
  }
  const { id, command, args, options } = message;
  const stop = new AbortController();
  running.set(id, stop);
  void programs.run(command, args, { ...options, signal: stop.signal }).then((result) => {
    running.delete(id);
    tell({ id, result });
  });
});
tell({ ready: true });
