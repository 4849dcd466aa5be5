/** Who is there, and what must not be taken for somebody: DESIGN 5, issue "Who is really on the wire". */
import { describe, expect, it } from 'vitest';
import type { Who } from './presence-runner.js';
import {
  EVERY,
  HOSTS,
  macOf,
  outcomes,
  PRESENT,
  presenceBench,
  presenceRefusal,
  SILENT,
} from './support/presence-bench.js';

if (presenceRefusal !== undefined) console.warn(`SKIPPED: presence in the lab: ${presenceRefusal}`);

describe.skipIf(presenceRefusal !== undefined)('presence on the link', () => {
  const bench = presenceBench();

  it.each(EVERY)(
    'does not call a device missing that loses every fifth ARP frame (%s, without %j)',
    async (who, without) => {
      const { devices, settle } = bench();
      const [lossy] = devices;
      if (lossy === undefined) throw new Error('no device');
      const rules =
        'table arp lossy { chain in { type filter hook input priority 0; numgen inc mod 5 == 0 drop; }; }';
      await lossy.must('nft', ['-f', '-'], { input: rules });
      try {
        const settled = await settle(who, { addresses: [...PRESENT, SILENT], without });
        expect(outcomes(settled, 'claimed').sort()).toEqual([...PRESENT].sort());
        expect(outcomes(settled, 'unclaimed')).toEqual([SILENT]);
      } finally {
        await lossy.must('nft', ['delete', 'table', 'arp', 'lossy']);
      }
    },
  );

  it.each(EVERY)(
    'is not fooled by a row that a device now gone left behind (%s, without %j)',
    async (who, without) => {
      const { laptop, runner } = bench();
      await laptop.must('ip', ['neigh', 'flush', 'dev', 'eth0']);
      const row = [SILENT, 'lladdr', '00:00:5e:00:53:99', 'dev', 'eth0', 'nud', 'stale'];
      await laptop.must('ip', ['neigh', 'replace', ...row]);
      const settled = await runner.settle(laptop, who, { addresses: [SILENT, PRESENT[0] ?? ''], without });
      expect(settled.presence[SILENT]).toMatchObject({ outcome: 'unclaimed' });
      expect(settled.presence[PRESENT[0] ?? '']).toMatchObject({ outcome: 'claimed', macs: [macOf(0)] });
    },
  );

  it('believes a row from before that the device itself confirms, without rights', async () => {
    const { laptop, runner } = bench();
    const [address = ''] = PRESENT;
    await laptop.must('ping', ['-c', '1', address]);
    const settled = await runner.settle(laptop, 'nobody', { addresses: [address] });
    expect(settled.presence[address]).toMatchObject({ outcome: 'claimed', macs: [macOf(0)] });
  });

  it('says that it can not tell, where the system holds a fresh row of a device just gone and nothing may ask', async () => {
    const { laptop, runner } = bench();
    await laptop.must('ip', ['neigh', 'flush', 'dev', 'eth0']);
    const row = [SILENT, 'lladdr', '00:00:5e:00:53:99', 'dev', 'eth0', 'nud', 'reachable'];
    await laptop.must('ip', ['neigh', 'replace', ...row]);
    const settled = await runner.settle(laptop, 'nobody', { addresses: [SILENT] });
    expect(settled.presence[SILENT]).toMatchObject({
      outcome: 'not-run',
      reason: expect.stringContaining('00:00:5e:00:53:99'),
      mend: expect.stringContaining('administrator rights'),
    });
  });

  it.each<Who>(['root', 'nobody'])('finds who is there by IPv6 neighbour discovery (%s)', async (who) => {
    const { settle } = bench();
    const settled = await settle(who, { addresses: ['2001:db8:0:10::11', '2001:db8:0:10::12'] });
    expect(settled.presence).toMatchObject({
      '2001:db8:0:10::11': { outcome: 'claimed', macs: [macOf(0)] },
      '2001:db8:0:10::12': { outcome: 'unclaimed' },
    });
  });

  it('tells a router that answers for everything from a device with many addresses', async () => {
    const { lab, laptop, runner, settle } = bench();
    const beyond = await lab.addSwitch('beyond');
    const link = await lab.addSwitch('link');
    await lab.cable(laptop, { switch: link, name: 'eth2', addresses: ['203.0.113.5/24'] });
    const router = await lab.addHost('router', [
      { switch: link, name: 'eth0', mac: '00:00:5e:00:53:fe', addresses: ['203.0.113.1/32'] },
      { switch: beyond, name: 'eth1', addresses: ['203.0.113.2/24'] },
    ]);
    await router.must('sysctl', ['-qw', 'net.ipv4.ip_forward=1', 'net.ipv4.conf.eth0.proxy_arp=1']);
    // Answers at once: proxy_delay is up to 0.8 s by default (Linux ip-sysctl).
    await router.must('sysctl', ['-qw', 'net.ipv4.neigh.eth0.proxy_delay=0']);
    const planned = ['203.0.113.11', '203.0.113.12', '203.0.113.13'];
    const deviceOf = Object.fromEntries(planned.map((address, index) => [address, `press-${index + 1}`]));
    const networks = [{ name: 'far', cidr: '203.0.113.0/24', taken: [...planned, '203.0.113.5'] }];
    await router.must('ip', ['route', 'add', '203.0.113.5/32', 'dev', 'eth0']);
    const proxied = await runner.settle(laptop, 'root', { addresses: planned, deviceOf, networks });
    expect(proxied.proxyArp).toEqual([
      {
        network: 'far',
        mac: '00:00:5e:00:53:fe',
        askedAddress: '203.0.113.254',
        answeredBy: ['00:00:5e:00:53:fe'],
      },
    ]);

    const own = PRESENT.filter((_, index) => index % HOSTS === 0);
    const many = await settle('root', {
      addresses: own,
      deviceOf: Object.fromEntries(own.map((address, index) => [address, `loft-${index + 1}`])),
      networks: [{ name: 'mgmt', cidr: '192.0.2.0/24', taken: [...PRESENT, '192.0.2.5'] }],
    });
    expect(many.proxyArp).toEqual([
      { network: 'mgmt', mac: macOf(0), askedAddress: '192.0.2.254', answeredBy: [] },
    ]);
  });
});
