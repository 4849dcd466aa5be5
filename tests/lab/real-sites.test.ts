/**
 * Sites as they really are, with real ARP, routing and packet filters: who answers is not always who is planned (DESIGN 6, "Beyond the
 * table"). One small site a situation; what is judged from evidence alone stands in tests/verdicts/situations.test.ts.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { Lab, type LabHost, type LabSwitch, labRefusal } from './support/lab.js';
import { programsRefusal } from './support/services.js';

const refusal = (await labRefusal()) ?? programsRefusal('ping', 'nft', 'python3');
if (refusal !== undefined) console.warn(`SKIPPED: real sites: ${refusal}`);

const HEAD = [
  'device',
  'controller',
  'port',
  'role',
  'network',
  'address',
  'mac',
  'services',
  'group',
] as const;
type Row = Partial<Record<(typeof HEAD)[number], string>>;

describe.skipIf(refusal !== undefined)('real sites', () => {
  let lab: Lab | undefined;
  afterEach(() => lab?.remove());

  /** A laptop on one switch. */
  async function site(address = '192.0.2.5/24'): Promise<{ lab: Lab; net: LabSwitch; laptop: LabHost }> {
    lab = new Lab();
    const net = await lab.addSwitch('loft');
    const laptop = await lab.addHost('laptop', [{ switch: net, name: 'eth0', addresses: [address] }]);
    return { lab, net, laptop };
  }

  async function check(
    laptop: LabHost,
    networks: string,
    rows: readonly Row[],
    groups = '',
  ): Promise<Matrix> {
    const folder = laptop.lab.folder;
    writeFileSync(
      path.join(folder, 'list.csv'),
      [HEAD.join(','), ...rows.map((row) => HEAD.map((head) => row[head] ?? '').join(','))].join('\n'),
    );
    writeFileSync(
      path.join(folder, 'plan.yaml'),
      `plan: 1\nsite: { name: Real Site }\nnetworks:\n${networks}\nendpoints: list.csv\n${groups}`,
    );
    const out = path.join(folder, 'run');
    const ran = await laptop.matchmark([
      'check',
      path.join(folder, 'plan.yaml'),
      '--out',
      out,
      '--quiet',
      '--replace',
    ]);
    if (ran.exitCode === 2) throw new Error(ran.stderr);
    return JSON.parse(readFileSync(path.join(out, 'matrix.json'), 'utf8')) as Matrix;
  }

  const verdicts = ({ endpoints }: Matrix): string[] =>
    endpoints.map(({ id, verdict }) => `${id} ${verdict}`);
  const codes = ({ findings }: Matrix): string[] =>
    findings
      .filter(({ severity }) => severity !== 'note')
      .map(({ code, subject }) => `${code} ${subject}`)
      .sort();
  /** A listener for each port, in the network namespace of a host. */
  const listen = (host: LabHost, ...ports: number[]): void => {
    const program = `import socket, time
for port in ${JSON.stringify(ports)}:
    s = socket.socket(); s.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1); s.bind(("0.0.0.0", port)); s.listen(16)
    globals()["s%d" % port] = s
time.sleep(120)`;
    host.start('python3', ['-c', program]);
  };
  const pair = (more: Row = {}): Row[] =>
    ['A', 'B'].map((controller, index) => ({
      device: 'vault-1',
      controller,
      port: 'mgmt',
      role: 'management',
      network: 'mgmt',
      address: `192.0.2.${11 + index}`,
      services: 'tcp/8443',
      group: 'm',
      ...more,
    }));
  const MGMT = '  - { name: mgmt, cidr: 192.0.2.0/24 }';
  const GROUP = 'groups: [ { name: m, need: 1, independent: [controller] } ]\n';

  it('controller B is off, and A has taken its address over', async () => {
    const { lab: here, net, laptop } = await site();
    const a = await here.addHost('a', [
      { switch: net, name: 'mgmt', addresses: ['192.0.2.11/24', '192.0.2.12/24'] },
    ]);
    listen(a, 8443);
    const matrix = await check(laptop, MGMT, pair(), GROUP);
    expect(verdicts(matrix)).toEqual(['vault-1/A/mgmt matches', 'vault-1/B/mgmt differs']);
    expect(codes(matrix)).toContain('answered-by-partner vault-1/B/mgmt');
    expect(matrix.groups[0]?.verdict).toBe('at-risk');
    expect(matrix.outcome?.state).toBe('fix');
  });

  it('one controller with two ports in one network answers ARP for either on either', async () => {
    const { lab: here, net, laptop } = await site();
    const a = await here.addHost('a', [
      { switch: net, name: 'data0', addresses: ['192.0.2.11/24'] },
      { switch: net, name: 'data1', addresses: ['192.0.2.12/24'] },
    ]);
    listen(a, 8443);
    const matrix = await check(laptop, MGMT, [
      {
        device: 'vault-1',
        controller: 'A',
        port: 'data0',
        role: 'data',
        network: 'mgmt',
        address: '192.0.2.11',
        services: 'tcp/8443',
      },
      {
        device: 'vault-1',
        controller: 'A',
        port: 'data1',
        role: 'data',
        network: 'mgmt',
        address: '192.0.2.12',
        services: 'tcp/8443',
      },
    ]);
    expect(verdicts(matrix)).toEqual(['vault-1/A/data0 matches', 'vault-1/A/data1 matches']);
    expect(codes(matrix)).toEqual([]);
  });

  it('a router answers ARP for everything, and the one planned array is not there', async () => {
    const { lab: here, net, laptop } = await site();
    const router = await here.addHost('router', [{ switch: net, name: 'eth0', addresses: ['192.0.2.1/24'] }]);
    await router.must('sh', [
      '-c',
      'echo 1 > /proc/sys/net/ipv4/conf/eth0/proxy_arp; echo 1 > /proc/sys/net/ipv4/ip_forward; ip link add dummy type veth peer name other; ip link set dummy up; ip link set other up; ip route del 192.0.2.0/24 dev eth0; ip route add 192.0.2.5 dev eth0; ip route add 192.0.2.0/24 dev dummy',
    ]);
    const matrix = await check(
      laptop,
      '  - { name: mgmt, cidr: 192.0.2.0/24, gateway: 192.0.2.1 }',
      pair(),
      GROUP,
    );
    expect(verdicts(matrix)).toEqual(['vault-1/A/mgmt missing', 'vault-1/B/mgmt missing']);
    expect(codes(matrix)).not.toContain('answered-by-partner vault-1/B/mgmt');
    expect(matrix.findings.some(({ code }) => code === 'duplicate-address')).toBe(false);
  });

  it('the laptop is on another network: nobody answers, the gateway neither, and nothing is called missing', async () => {
    const { laptop } = await site();
    const matrix = await check(
      laptop,
      '  - { name: mgmt, cidr: 192.0.2.0/24, gateway: 192.0.2.1 }',
      pair(),
      GROUP,
    );
    expect(verdicts(matrix)).toEqual(['vault-1/A/mgmt unproven', 'vault-1/B/mgmt unproven']);
    expect(codes(matrix)).toEqual([`laptop-misplaced ${matrix.vantages[0]?.name ?? ''}`]);
    expect(matrix.outcome?.jobs).toBe(1);
  });

  it('a laptop with a /8 among /24s', async () => {
    const { laptop } = await site('192.0.2.5/8');
    const matrix = await check(laptop, MGMT, pair(), GROUP);
    expect(verdicts(matrix)).toEqual(['vault-1/A/mgmt unproven', 'vault-1/B/mgmt unproven']);
    expect(matrix.findings.some(({ code }) => code === 'endpoint-missing')).toBe(false);
  });

  it('a firewall refuses for devices that are not there', async () => {
    const { lab: here, net, laptop } = await site();
    const firewall = await here.addHost('firewall', [
      { switch: net, name: 'eth0', addresses: ['192.0.2.1/24'] },
    ]);
    await firewall.must('sh', ['-c', 'echo 1 > /proc/sys/net/ipv4/ip_forward']);
    await firewall.must('nft', ['-f', '-'], {
      input:
        'table inet wall { chain in { type filter hook prerouting priority 0; ip daddr 198.51.100.0/24 meta l4proto tcp reject with tcp reset; ip daddr 198.51.100.0/24 drop; }; }',
    });
    await laptop.addRoute('198.51.100.0/24', '192.0.2.1');
    const rows = pair().map((row, index) => ({
      ...row,
      network: 'far',
      address: `198.51.100.${11 + index}`,
    }));
    const matrix = await check(laptop, '  - { name: far, cidr: 198.51.100.0/24, routed: true }', rows, GROUP);
    expect(verdicts(matrix)).toEqual(['vault-1/A/mgmt unproven', 'vault-1/B/mgmt unproven']);
    expect(codes(matrix)).toEqual([]);
    expect(matrix.groups[0]?.verdict).toBe('unproven');
  });

  it('a host with the planned MAC, a packet filter and no planned service is there', async () => {
    const { lab: here, net, laptop } = await site();
    const host = await here.addHost('press', [
      { switch: net, name: 'nic0', mac: '00:00:5e:00:53:41', addresses: ['192.0.2.21/24'] },
    ]);
    await host.must('nft', ['-f', '-'], {
      input: 'table ip quiet { chain in { type filter hook input priority 0; drop; }; }',
    });
    const matrix = await check(
      laptop,
      MGMT,
      [
        {
          device: 'press-1',
          port: 'nic0',
          role: 'host',
          network: 'mgmt',
          address: '192.0.2.21',
          mac: '00:00:5e:00:53:41',
          group: 'hosts',
        },
      ],
      'groups: [ { name: hosts, need: 1 } ]\n',
    );
    expect(matrix.groups[0]?.live).toEqual(['press-1/nic0']);
    expect(matrix.groups[0]?.verdict).not.toBe('lost');
  });
});
