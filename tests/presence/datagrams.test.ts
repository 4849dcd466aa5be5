import { afterEach, describe, expect, it } from 'vitest';
import { openDatagrams } from '../../src/presence/datagrams.js';

const open = openDatagrams();
afterEach(() => open.close());
const quiet = new AbortController().signal;

describe('datagrams', () => {
  it('are taken by the kernel, many more than one socket may hold', async () => {
    const outcomes = await Promise.all(Array.from({ length: 350 }, () => open.send('127.0.0.1')));
    expect(new Set(outcomes)).toEqual(new Set(['sent']));
  });

  it('are refused for an address that the system does not send to', async () => {
    // Broadcast without leave (SO_BROADCAST) is EACCES on Linux and macOS.
    expect(await open.send('255.255.255.255')).toBe('refused');
  });

  it('may be closed twice, and opened again by sending', async () => {
    open.close();
    open.close();
    expect(await open.send('127.0.0.1')).toBe('sent');
  });
});

// RFC 1122 §4.1.3.1: a datagram to a port that nobody listens on is answered by ICMP "port unreachable"; §4.1.3.3: the application is told.
describe('a datagram that provokes an error', () => {
  it.skipIf(process.platform === 'win32')('finds a device alive that says its port is closed', async () => {
    expect(await open.provoke('127.0.0.1', 1000, quiet)).toBe('alive');
  });

  it('is over at once when interrupted', async () => {
    const interrupt = new AbortController();
    interrupt.abort();
    const started = performance.now();
    expect(await open.provoke('127.0.0.1', 60_000, interrupt.signal)).toBe('silent');
    expect(performance.now() - started).toBeLessThan(500);
  });

  it('leaves no socket behind', async () => {
    // Tests that share the process may have left some.
    const count = (): number =>
      process.getActiveResourcesInfo().filter((kind) => kind.toUpperCase() === 'UDPWRAP').length;
    const before = count();
    await open.provoke('127.0.0.1', 200, quiet);
    // Closing is done in the next turns of the event loop.
    await new Promise((resolve) => setTimeout(resolve, 20));
    expect(count()).toBeLessThanOrEqual(before);
  });
});
