import net from 'node:net';
import { expect, test } from 'vitest';
import { portsFrom } from '../../src/demo/layout.js';
import { startDemoSite } from '../../src/demo/site.js';

const BASES = [25_000, 35_000];

/** Sockets of this process that listen or wait for datagrams. Tests that share the process may have left some: only what is added counts. */
function allOpen(): number {
  return process.getActiveResourcesInfo().filter((name) => /TCPServer|UDP/.test(name)).length;
}

const atStart = allOpen();
const open = (): number => Math.max(0, allOpen() - atStart);

test('nothing stays open after stop, and the site can be started again at once', async () => {
  expect(open()).toBe(0);
  for (let round = 0; round < 2; round += 1) {
    const site = await startDemoSite({ portBases: BASES });
    expect(open()).toBeGreaterThan(20);
    await site.stop();
  }
  await expect.poll(open).toBe(0);
});

test('a site that cannot start whole leaves nothing open and says why', async () => {
  const blocker = net.createServer();
  const [base = 0] = BASES;
  await new Promise<void>((resolve) => blocker.listen(base + 5_001, '127.0.0.1', resolve));
  await expect(startDemoSite({ portBases: [base], singleAddress: true })).rejects.toMatchObject({
    code: 'EADDRINUSE',
  });
  await new Promise((resolve) => blocker.close(resolve));
  await expect.poll(open).toBe(0);
});

test('stop ends connections that a probe left open', async () => {
  const site = await startDemoSite({ portBases: BASES });
  const port = (site.plan.snmp.demo?.port ?? 0) - 161;
  const mute = site.plan.endpoints.find(({ id }) => id === 'vault-1/B/data0');
  const place =
    process.platform === 'darwin' ? undefined : { host: mute?.address ?? '', port: portsFrom(port).iscsi };
  const socket = place === undefined ? undefined : net.connect(place);
  if (socket !== undefined) await new Promise((resolve) => socket.once('connect', resolve));
  const closed = socket === undefined ? undefined : new Promise((resolve) => socket.once('close', resolve));
  await site.stop();
  await closed;
  expect(open()).toBe(0);
});
