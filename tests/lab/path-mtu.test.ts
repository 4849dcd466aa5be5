/** Path MTU against real links: a router hop at 1500, a switch at 1500 that drops in silence, loss, and all well; IPv4 and IPv6. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { mtuProbe } from '../../src/probe/path-mtu.js';
import type { ProgramResult, Programs } from '../../src/probe/types.js';
import { Lab, type LabHost, type LabSwitch, labRefusal } from './support/lab.js';
import { programsRefusal } from './support/services.js';

const refusal = (await labRefusal()) ?? programsRefusal('ping', 'nft');
if (refusal !== undefined) console.warn(`SKIPPED: path MTU in the lab: ${refusal}`);

const PATIENCE = { timeoutMs: 1000, attempts: 3 };

/** The probe runs here, its ping on the laptop of the lab. */
function programsOn(host: LabHost): Programs {
  const run = async (command: string, args: readonly string[]): Promise<ProgramResult> => {
    const { exitCode, stdout, stderr } = await host.exec(command, args);
    return { ran: true, exitCode: exitCode ?? undefined, stdout, stderr, timedOut: false };
  };
  return { run, start: () => ({ ran: false, why: 'failed', detail: 'not here' }) };
}

describe.skipIf(refusal !== undefined)('path MTU', () => {
  let lab: Lab;
  let bench: LabSwitch;
  let laptop: LabHost;
  let array: LabHost;

  beforeAll(async () => {
    lab = new Lab();
    bench = await lab.addSwitch('bench');
    const far = await lab.addSwitch('far');
    laptop = await lab.addHost('laptop', [
      { switch: bench, name: 'eth0', mtu: 9000, addresses: ['192.0.2.5/24', '2001:db8:1::5/64'] },
    ]);
    array = await lab.addHost('array', [
      {
        switch: bench,
        name: 'data0',
        port: 'array',
        mtu: 9000,
        addresses: ['192.0.2.7/24', '2001:db8:1::7/64'],
      },
    ]);
    const router = await lab.addHost('router', [
      { switch: bench, name: 'near', mtu: 9000, addresses: ['192.0.2.1/24', '2001:db8:1::1/64'] },
      { switch: far, name: 'far', mtu: 1500, addresses: ['198.51.100.1/24', '2001:db8:2::1/64'] },
    ]);
    const remote = await lab.addHost('remote', [
      { switch: far, name: 'data0', mtu: 1500, addresses: ['198.51.100.7/24', '2001:db8:2::7/64'] },
    ]);
    await router.must('sysctl', ['-qw', 'net.ipv4.ip_forward=1', 'net.ipv6.conf.all.forwarding=1']);
    await laptop.addRoute('198.51.100.0/24', '192.0.2.1');
    await remote.addRoute('192.0.2.0/24', '198.51.100.1');
    await laptop.must('ip', ['-6', 'route', 'add', '2001:db8:2::/64', 'via', '2001:db8:1::1']);
    await remote.must('ip', ['-6', 'route', 'add', '2001:db8:1::/64', 'via', '2001:db8:2::1']);
  });
  afterAll(() => lab?.remove());

  const measure = (address: string, plannedMtu: number, interfaceMtu: number | undefined = 9000) =>
    mtuProbe({ programs: programsOn(laptop), platform: 'linux' })(
      { address, plannedMtu, interfaceMtu },
      PATIENCE,
      new AbortController().signal,
    );

  it.each(['192.0.2.7', '2001:db8:1::7'])('passes 9000 to %s where all is well', async (address) => {
    expect(await measure(address, 9000)).toEqual({ outcome: 'passes', mtu: 9000 });
  });

  it.each(['198.51.100.7', '2001:db8:2::7'])(
    'is told 1500 by the router on the way to %s, twice',
    async (address) => {
      const expected = { outcome: 'smaller', mtu: 1500, asked: 9000, told: 'router' };
      expect(await measure(address, 9000)).toMatchObject(expected);
      // By now the kernel remembers: the same answer, though no router speaks.
      expect(await measure(address, 9000)).toMatchObject(expected);
    },
  );

  it('knows its own interface without asking, and refuses locally where it does not', async () => {
    const expected = { outcome: 'smaller', mtu: 9000, asked: 9216, told: 'local' };
    expect(await measure('192.0.2.7', 9216, 9000)).toMatchObject(expected);
    expect(await measure('192.0.2.7', 9216, undefined)).toMatchObject(expected);
  });

  describe('with the switch port of the array at 1500', () => {
    beforeAll(() => bench.setMtu('array', 1500));
    afterAll(() => bench.setMtu('array', 9000));

    it.each(['192.0.2.7', '2001:db8:1::7'])('finds 1500 to %s, though nobody says so', async (address) => {
      expect(await measure(address, 9000)).toEqual({
        outcome: 'smaller',
        mtu: 1500,
        asked: 9000,
        told: 'silent',
      });
    });

    it('passes a plan of 1500', async () => {
      expect(await measure('192.0.2.7', 1500)).toEqual({ outcome: 'passes', mtu: 1500 });
    });
  });

  describe('with every fifth packet to the array lost', () => {
    beforeAll(() => array.dropIncoming(20));

    it('is not misled', async () => {
      expect(await measure('192.0.2.7', 9000)).toEqual({ outcome: 'passes', mtu: 9000 });
    });
  });

  it('says no-reply for an address that nobody has', async () => {
    expect(await measure('192.0.2.99', 9000)).toEqual({ outcome: 'no-reply', asked: 84, cause: 'timeout' });
  });
});
