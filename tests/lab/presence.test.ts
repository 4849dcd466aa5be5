/** Who is there, how fast that is known, and what must not be taken for somebody: DESIGN 5 and 10, issue "Who is really on the wire". */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { hostsOf } from '../../src/plan/address.js';
import type { PresenceSighting } from '../../src/sighting/types.js';
import { type LabQuestion, PresenceRunner, type SettledInLab, type Who } from './presence-runner.js';
import { Lab, type LabHost, type LabSwitch, labRefusal } from './support/lab.js';
import { programsRefusal } from './support/services.js';

const refusal = (await labRefusal()) ?? programsRefusal('tcpdump', 'arping', 'nft', 'setpriv');
if (refusal !== undefined) console.warn(`SKIPPED: presence in the lab: ${refusal}`);

const HOSTS = 4;
const EACH = 5;
/** Four devices with five addresses each, spread over the network. */
const PRESENT = Array.from({ length: HOSTS * EACH }, (_, index) => `192.0.2.${10 + index * 12}`);
const SILENT = '192.0.2.9';
const EVERY: readonly (readonly [Who, NonNullable<LabQuestion['without']>])[] = [
  ['root', []],
  ['root', ['capture', 'arping']],
  ['nobody-raw', ['capture']],
  ['nobody', []],
];

function macOf(box: number): string {
  return `00:00:5e:00:53:${(0x10 + box).toString(16)}`;
}

function outcomes(settled: SettledInLab, outcome: PresenceSighting['outcome']): string[] {
  return Object.entries(settled.presence).flatMap(([address, sighting]) =>
    sighting.outcome === outcome ? [address] : [],
  );
}

describe.skipIf(refusal !== undefined)('presence on the link', () => {
  const runner = new PresenceRunner();
  let lab: Lab;
  let bench: LabSwitch;
  let laptop: LabHost;
  const boxes: LabHost[] = [];

  beforeAll(async () => {
    await runner.build();
    lab = new Lab();
    bench = await lab.addSwitch('bench');
    laptop = await lab.addHost('laptop', [
      { switch: bench, name: 'eth0', addresses: ['192.0.2.5/24', '2001:db8:0:10::5/64'] },
    ]);
    for (let box = 0; box < HOSTS; box += 1) {
      const addresses = PRESENT.filter((_, index) => index % HOSTS === box).map((each) => `${each}/24`);
      const more = box === 0 ? ['2001:db8:0:10::11/64'] : [];
      boxes.push(
        await lab.addHost(`device-${box}`, [
          { switch: bench, name: 'eth0', mac: macOf(box), addresses: [...addresses, ...more] },
        ]),
      );
    }
  });
  afterAll(async () => {
    await lab?.remove();
    runner.remove();
  });

  async function settle(who: Who, question: LabQuestion): Promise<SettledInLab> {
    await laptop.must('ip', ['neigh', 'flush', 'dev', 'eth0']);
    return runner.settle(laptop, who, question);
  }

  it.each(EVERY)(
    'settles a /24 with 20 present within 4 s, the present within 0.5 s (%s, without %j)',
    async (who, without) => {
      const settled = await settle(who, { addresses: [...hostsOf('192.0.2.0/24')], without });
      expect(outcomes(settled, 'claimed').sort()).toEqual([...PRESENT, '192.0.2.5'].sort());
      expect(outcomes(settled, 'unclaimed')).toHaveLength(254 - PRESENT.length - 1);
      PRESENT.forEach((address, index) => {
        expect(settled.presence[address]).toMatchObject({ macs: [macOf(index % HOSTS)] });
      });
      expect(Math.max(...PRESENT.map((address) => settled.firstMs[address] ?? Infinity))).toBeLessThan(500);
      // arping is one process an address and goes on beside the run; it has asked each present one for two seconds.
      expect(settled.totalMs).toBeLessThan(4000);
    },
  );

  it.each(EVERY)(
    'does not call a device missing that loses every fifth ARP frame (%s, without %j)',
    async (who, without) => {
      const [lossy] = boxes;
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
      await laptop.must('ip', ['neigh', 'flush', 'dev', 'eth0']);
      const row = [SILENT, 'lladdr', '00:00:5e:00:53:99', 'dev', 'eth0', 'nud', 'stale'];
      await laptop.must('ip', ['neigh', 'replace', ...row]);
      const settled = await runner.settle(laptop, who, { addresses: [SILENT, PRESENT[0] ?? ''], without });
      expect(settled.presence[SILENT]).toMatchObject({ outcome: 'unclaimed' });
      expect(settled.presence[PRESENT[0] ?? '']).toMatchObject({ outcome: 'claimed', macs: [macOf(0)] });
    },
  );

  it('believes a row from before that the device itself confirms, without rights', async () => {
    const [address = ''] = PRESENT;
    await laptop.must('ping', ['-c', '1', address]);
    const settled = await runner.settle(laptop, 'nobody', { addresses: [address] });
    expect(settled.presence[address]).toMatchObject({ outcome: 'claimed', macs: [macOf(0)] });
  });

  it('says that it can not tell, where the system holds a fresh row of a device just gone and nothing may ask', async () => {
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
    const settled = await settle(who, { addresses: ['2001:db8:0:10::11', '2001:db8:0:10::12'] });
    expect(settled.presence).toMatchObject({
      '2001:db8:0:10::11': { outcome: 'claimed', macs: [macOf(0)] },
      '2001:db8:0:10::12': { outcome: 'unclaimed' },
    });
  });

  it('keeps to the limits of the neighbour table: 700 silent addresses in two goes', async () => {
    await laptop.addAddress('eth0', '198.51.100.5/22');
    const addresses = [...hostsOf('198.51.100.0/22')].filter((each) => each !== '198.51.100.5').slice(0, 700);
    const settled = await settle('nobody', { addresses });
    await laptop.removeAddress('eth0', '198.51.100.5/22');
    expect(outcomes(settled, 'unclaimed')).toHaveLength(700);
    expect(settled.totalMs).toBeLessThan(14_000);
  });

  it('tells a router that answers for everything from a device with many addresses', async () => {
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
