import net from 'node:net';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { ADDRESS, COMMUNITY, type DemoPorts, portsFrom } from '../../src/demo/layout.js';
import { type DemoSite, startDemoSite } from '../../src/demo/site.js';
import { reviewPlan } from '../../src/review/review.js';
import { firstWords, getPage, outside, TEST_BASES } from './support.js';

let site: DemoSite;
let ports: DemoPorts;

beforeAll(async () => {
  site = await startDemoSite({ portBases: TEST_BASES, singleAddress: process.platform === 'darwin' });
  const port = site.plan.snmp.demo?.port ?? 0;
  ports = portsFrom(port - 161);
});

afterAll(() => site.stop());

describe.skipIf(process.platform === 'darwin')(
  'every address of the loopback (not on macOS, which has one)',
  () => {
    test('a controller serves its own page, certificate and Redfish root', async () => {
      const page = await getPage(ADDRESS['vault-1/A/mgmt'], ports.https);
      expect(page.body).toContain('<title>vault-1, controller A</title>');
      expect(page.commonName).toBe('vault-1-a.harbour.example');
      // DSP0266: the service root needs no login and has these members.
      const root: unknown = JSON.parse(
        (await getPage(ADDRESS['vault-1/A/mgmt'], ports.https, '/redfish/v1/')).body,
      );
      expect(root).toMatchObject({ UUID: expect.any(String), RedfishVersion: expect.any(String) });
    });

    test('SSH says its identification line and no more (RFC 4253 §4.2)', async () => {
      expect(await firstWords(ADDRESS['vault-1/A/mgmt'], ports.ssh)).toMatch(/^SSH-2\.0-\S+ vault-1-a\r\n$/);
    });

    test('the dead port refuses, the switched-off service refuses, the mute one takes a connection and is silent', async () => {
      for (const port of [ports.https, ports.ssh])
        expect(await firstWords(ADDRESS['vault-1/B/mgmt'], port)).toBe('ECONNREFUSED');
      expect(await firstWords(ADDRESS['loft-switch-2/mgmt'], ports.ssh)).toBe('ECONNREFUSED');
      expect(await firstWords(ADDRESS['vault-1/B/data0'], ports.iscsi)).toBe('silent');
    });

    test('the addresses of the controllers of vault-2 are changed about', async () => {
      expect((await getPage(ADDRESS['vault-2/A/mgmt'], ports.https)).commonName).toMatch(/^vault-2-b\./);
      expect((await getPage(ADDRESS['vault-2/B/mgmt'], ports.https)).commonName).toMatch(/^vault-2-a\./);
    });

    test('snmpwalk reads the system group and the forwarding table as planted', async (context) => {
      const walk = (oid: string) =>
        outside('snmpwalk', [
          '-v2c',
          '-c',
          COMMUNITY,
          '-On',
          `${ADDRESS['loft-switch-1/mgmt']}:${ports.snmp}`,
          oid,
        ]);
      const system = await walk('1.3.6.1.2.1.1');
      if (system === undefined) return context.skip('snmpwalk is not installed');
      expect(system).toContain('.1.3.6.1.2.1.1.5.0 = STRING: "loft-switch-1"');
      // RFC 4188: index of dot1dTpFdbPort is the MAC as six numbers; bridge port 113 is port 13 by dot1dBasePortIfIndex.
      expect(await walk('1.3.6.1.2.1.17.4.3.1.2')).toContain(
        '.1.3.6.1.2.1.17.4.3.1.2.0.0.94.0.83.113 = INTEGER: 113',
      );
      expect(await walk('1.3.6.1.2.1.17.1.4.1.2')).toContain('.1.3.6.1.2.1.17.1.4.1.2.113 = INTEGER: 13');
      expect(await walk('1.3.6.1.2.1.31.1.1.1.1')).toContain('.1.3.6.1.2.1.31.1.1.1.1.13 = STRING: "13"');
    });

    test('snmpwalk reads the forwarding table by VLAN and the addresses of an array as planted', async (context) => {
      const walk = (at: 'loft-switch-1/mgmt' | 'vault-1/A/mgmt', oid: string) =>
        outside('snmpwalk', ['-v2c', '-c', COMMUNITY, '-On', `${ADDRESS[at]}:${ports.snmp}`, oid]);
      // RFC 4363: dot1qTpFdbPort is indexed by the filtering database and the MAC; dot1qVlanFdbId tells which VLAN that serves.
      const byVlan = await walk('loft-switch-1/mgmt', '1.3.6.1.2.1.17.7.1.2.2.1.2');
      if (byVlan === undefined) return context.skip('snmpwalk is not installed');
      expect(byVlan).toContain('.1.3.6.1.2.1.17.7.1.2.2.1.2.1021.0.0.94.0.83.113 = INTEGER: 113');
      expect(await walk('loft-switch-1/mgmt', '1.3.6.1.2.1.17.7.1.4.2.1.3')).toContain(
        '.1.3.6.1.2.1.17.7.1.4.2.1.3.0.21 = Gauge32: 1021',
      );
      // RFC 4293: ipAdEntIfIndex is indexed by the address.
      expect(await walk('vault-1/A/mgmt', '1.3.6.1.2.1.4.20.1.2')).toContain(
        `.1.3.6.1.2.1.4.20.1.2.${ADDRESS['vault-1/A/data0']} = INTEGER: 2`,
      );
    });

    test('the slow port shows in IF-MIB as snmpwalk reads it', async (context) => {
      const agent = `${ADDRESS['press-1/mgmt']}:${ports.snmp}`;
      const speeds = await outside('snmpwalk', [
        '-v2c',
        '-c',
        COMMUNITY,
        '-On',
        agent,
        '1.3.6.1.2.1.31.1.1.1.15',
      ]);
      if (speeds === undefined) return context.skip('snmpwalk is not installed');
      expect(speeds).toContain('.15.3 = Gauge32: 10000');
      expect(speeds).toContain('.15.4 = Gauge32: 1000');
    });

    test('iscsi-ls finds both portals of an array (RFC 7143 §4.3)', async (context) => {
      const listed = await outside('iscsi-ls', [`iscsi://${ADDRESS['vault-2/A/data0']}:${ports.iscsi}`]);
      if (listed === undefined) return context.skip('iscsi-ls is not installed');
      expect(listed).toContain('iqn.2026-01.example.harbour:vault-2');
      expect(listed).toContain(`${ADDRESS['vault-2/A/data0']}:${ports.iscsi},1`);
      expect(listed).toContain(`${ADDRESS['vault-2/B/data0']}:${ports.iscsi},2`);
    });
  },
);

test('the plan is sound: what is wrong is the site', () => {
  const { findings } = reviewPlan(site.plan);
  expect(findings.filter(({ severity }) => severity !== 'note')).toEqual([]);
});

test('everything is planned on the loopback and on unprivileged ports', () => {
  for (const endpoint of site.plan.endpoints) {
    if (endpoint.address !== undefined) expect(endpoint.address).toMatch(/^127\./);
    for (const service of endpoint.services) expect(service.port).toBeGreaterThan(1024);
  }
});

test('a planted fault names an endpoint or a group of the plan', () => {
  const names = new Set([
    ...site.plan.endpoints.map(({ id }) => id),
    ...site.plan.groups.map(({ name }) => name),
  ]);
  for (const { where } of site.planted) expect(names).toContain(where);
});

test('where a port is taken, all of the site moves to the next range', async () => {
  const blocker = net.createServer();
  const [first = 0, second = 0] = [24_000, 34_000];
  const address = process.platform === 'darwin' ? '127.0.0.1' : ADDRESS['press-1/mgmt'];
  const port = process.platform === 'darwin' ? first + 5_001 : portsFrom(first).https;
  await new Promise<void>((resolve) => blocker.listen(port, address, resolve));
  const moved = await startDemoSite({ portBases: [first, second] });
  try {
    expect(moved.plan.snmp.demo?.port).toBe(portsFrom(second).snmp);
  } finally {
    await moved.stop();
    await new Promise((resolve) => blocker.close(resolve));
  }
});
