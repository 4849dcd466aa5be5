/**
 * A site for the contract's own sentences (DESIGN 6, the verdict table): one box a row of it, some on the laptop's link and some behind a
 * router. Written from the contract alone; the plan names every key of DESIGN 3 that a run can use.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { Lab, type LabHost, type LabSwitch } from './lab.js';
import type { Running } from './run.js';
import { makeCertificate, startEquipment, startSnmpd } from './services.js';

export const SECRETS = {
  community: 'zz-community-secret',
  authKey: 'zz-auth-key-secret',
  privKey: 'zz-priv-key-secret',
} as const;
export const CONTRACT_ENV = { SITE_SNMP: SECRETS.community, SITE_AUTH: SECRETS.authKey } as const;

/** A title that is markup, moves the cursor, turns the writing direction, and goes on for 1 MiB. */
export const HOSTILE = `<script>alert(1)</script>\u001b[2J\u001b]0;owned\u0007\u202egnp.exe\u2066`;
const HOSTILE_LENGTH = 1 << 20;

export interface ContractSite {
  readonly lab: Lab;
  readonly laptop: LabHost;
  readonly folder: string;
  readonly planFile: string;
  /** What the web servers were asked, one line a request: `GET / accept,host`. */
  asked(): string[];
}

export async function buildContractSite(): Promise<ContractSite> {
  const lab = new Lab();
  try {
    const mgmt = await lab.addSwitch('loft-switch');
    const far = await lab.addSwitch('far-switch');
    const laptop = await lab.addHost('laptop', [
      { switch: mgmt, name: 'eth0', mac: '00:00:5e:00:53:05', addresses: ['192.0.2.5/24'] },
    ]);
    await addRouter(lab, mgmt, far, laptop);
    const [servers] = await Promise.all([addNear(lab, mgmt), addFar(lab, far)]);
    const folder = path.join(lab.folder, 'plan');
    mkdirSync(folder, { recursive: true });
    const asked = (): string[] =>
      servers.flatMap((server) =>
        [...server.output().matchAll(/^asked (.*)$/gm)].map(([, line]) => line ?? ''),
      );
    return { lab, laptop, folder, planFile: writePlan(folder), asked };
  } catch (error) {
    await lab.remove();
    throw error;
  }
}

const FAR = ['198.51.100.0/25', '198.51.100.128/25', '203.0.113.0/25'] as const;

async function addRouter(lab: Lab, mgmt: LabSwitch, far: LabSwitch, laptop: LabHost): Promise<void> {
  const router = await lab.addHost('router', [
    { switch: mgmt, name: 'near', mac: '00:00:5e:00:53:01', addresses: ['192.0.2.1/24'] },
    { switch: far, name: 'far', addresses: ['198.51.100.1/25', '198.51.100.129/25', '203.0.113.1/25'] },
  ]);
  await router.must('sysctl', ['-qw', 'net.ipv4.ip_forward=1']);
  // Silence, not an ICMP error, for what is not there: as most firewalls do it.
  await quiet(router, 'output', 'icmp type { destination-unreachable, redirect } drop');
  for (const network of FAR) await laptop.addRoute(network, '192.0.2.1');
}

async function quiet(host: LabHost, hook: 'input' | 'output', rule: string): Promise<void> {
  const table = `table inet quiet_${hook} { chain c { type filter hook ${hook} priority 0; ${rule}; }; }`;
  await host.must('nft', ['-f', '-'], { input: table });
}

const HTTPS_AND_SSH = 'meta nfproto ipv4 drop';

async function addNear(lab: Lab, mgmt: LabSwitch): Promise<Running[]> {
  const box = (name: string, last: number, more: { mac?: string } = {}): Promise<LabHost> => {
    const mac = more.mac ?? `00:00:5e:00:53:${last.toString(16).padStart(2, '0')}`;
    return lab.addHost(name, [{ switch: mgmt, name: 'mgmt', mac, addresses: [`192.0.2.${last}/24`] }]);
  };
  const certificate = (name: string, expired = false) => makeCertificate(lab, `${name}.example`, { expired });
  const ssh = { port: 22, line: 'SSH-2.0-Example_1.0' };
  const web = async (name: string, title = `${name} console`, expired = false) => ({
    ...{ port: 443, title, server: 'example-mgmt/2', tls: await certificate(name, expired) },
    ...(title === HOSTILE ? { titleLength: HOSTILE_LENGTH } : {}),
  });
  const [good, shy, closed, mute, dark, twin, other, half] = await Promise.all([
    box('good', 11),
    box('shy', 12),
    box('closed', 13),
    box('mute', 14),
    box('dark', 15),
    box('twin', 16),
    box('other', 17, { mac: '00:00:5e:00:53:77' }),
    box('half', 18),
    // gone-1, which was never given its address.
    box('left', 201),
  ]);
  const second = await lab.addHost('second', [
    { switch: mgmt, name: 'mgmt', mac: '00:00:5e:00:53:99', addresses: ['192.0.2.16/24'] },
  ]);
  await quiet(shy, 'input', 'icmp type echo-request drop');
  await quiet(mute, 'input', HTTPS_AND_SSH);
  await quiet(dark, 'input', HTTPS_AND_SSH);
  await quiet(half, 'input', 'tcp dport 22 drop');
  const plain = { port: 80, title: 'vault-1-a console' };
  const servers = [
    await startEquipment(good, { web: [await web('vault-1-a'), plain], lines: [ssh] }),
    await startEquipment(shy, { web: [await web('vault-1-b')], lines: [ssh] }),
    await startEquipment(other, { web: [await web('other', HOSTILE, true)], lines: [ssh] }),
    await startEquipment(half, { web: [await web('half')] }),
  ];
  for (const each of [twin, second]) await startEquipment(each, { lines: [ssh] });
  await startSnmpd(good, { sysName: 'vault-1-a', community: SECRETS.community });
  await startSnmpd(shy, {
    sysName: 'vault-1-b',
    lines: [`createUser keeper SHA-256 ${SECRETS.authKey} AES ${SECRETS.privKey}`, 'rouser keeper authPriv'],
  });
  await startSnmpd(closed, { sysName: 'closed-1', community: SECRETS.community });
  // Knows another community than the plan.
  await startSnmpd(half, { sysName: 'half', community: 'another' });
  return servers;
}

async function addFar(lab: Lab, far: LabSwitch): Promise<void> {
  const add = async (name: string, address: string, gateway: string): Promise<LabHost> => {
    const host = await lab.addHost(name, [{ switch: far, name: 'data', addresses: [address] }]);
    await host.addRoute('192.0.2.0/24', gateway);
    return host;
  };
  const [answers, refuses] = await Promise.all([
    add('far-answers', '203.0.113.11/25', '203.0.113.1'),
    add('far-refuses', '198.51.100.11/25', '198.51.100.1'),
  ]);
  await quiet(refuses, 'input', 'icmp type echo-request drop');
  await startEquipment(answers, { open: [3260] });
}

/** The columns of DESIGN 3 in its order, spelled as people do. */
const HEADER =
  'Device;Controller;PORT;Role;network;address;MAC;media;services;group;switch;Switch_Port;speed;mtu;interface;virtual;default-address;snmp;note';
const ORDER = HEADER.toLowerCase().replaceAll(/[_-]/g, ' ').split(';');

const ROWS: readonly Record<string, string>[] = [
  ...[
    {
      controller: 'A',
      address: '192.0.2.11/24',
      services: 'http https ssh snmp',
      mac: '00-00-5E-00-53-0B',
      snmp: 'site-ro',
      note: 'as planned',
    },
    {
      controller: 'B',
      address: '192.0.2.12',
      services: 'https ssh snmp',
      mac: '0000.5E00.530C',
      snmp: 'site-v3',
      note: 'no echo',
    },
  ].map((row) => ({
    ...management('vault-1', row.address, row.services),
    ...row,
    group: 'vault-1 mgmt',
  })),
  { ...management('closed-1', '192.0.2.13', 'https ssh snmp'), snmp: 'site-v1' },
  management('mute-1', '192.0.2.14', 'https ssh'),
  management('dark-1', '192.0.2.15', ''),
  management('twin-1', '192.0.2.16', 'ssh'),
  { ...management('other-1', '192.0.2.17', 'https'), mac: '00005e005311' },
  { ...management('half-1', '192.0.2.18', 'https ssh snmp'), snmp: 'site-ro' },
  management('gone-1', '192.0.2.19', 'https'),
  data('routed-1', 'far-routed', '198.51.100.12/25', 'iscsi-target'),
  data('refuses-1', 'far-routed', '198.51.100.11/25', 'iscsi-target'),
  data('quiet-1', 'far-quiet', '198.51.100.139/25', 'iscsi-target'),
  data('near-1', 'far-mixed', '203.0.113.11/25', 'tcp/3260'),
  data('near-2', 'far-mixed', '203.0.113.12/25', 'iscsi-target'),
  data('apart-1', 'apart', '203.0.113.139/25', 'iscsi-target'),
  ...['a', 'b'].map((side) => ({
    ...{ device: 'vault-1', controller: side.toUpperCase(), port: 'fc0', role: 'data', media: 'fc' },
    ...{ network: `fabric-${side}`, group: 'vault-1 fc' },
  })),
  ...['a', 'b'].map((side) => ({
    ...{ device: 'press-1', port: `hba-${side}`, role: 'host', media: 'fc', network: `fabric-${side}` },
  })),
  { device: 'pdu-1', port: 'inlet', role: 'power' },
];

function management(device: string, address: string, services: string): Record<string, string> {
  return { device, port: 'mgmt', role: 'management', network: 'mgmt', address, media: 'copper', services };
}

function data(device: string, network: string, address: string, services: string): Record<string, string> {
  return { device, port: 'data0', role: 'data', network, address, media: 'fibre', services };
}

/** As a spreadsheet leaves it: semicolons, a title row, Windows line ends, Windows-1252, a blank row at the end. */
function addressList(): Buffer {
  const rows = ROWS.map((row) => ORDER.map((column) => row[column] ?? '').join(';'));
  const lines = ['Büro Harbour Library: address list', HEADER, ...rows, ';'.repeat(ORDER.length - 1)];
  return Buffer.from(`${lines.join('\r\n')}\r\n`, 'latin1');
}

function writePlan(folder: string): string {
  writeFileSync(path.join(folder, 'address-list.csv'), addressList());
  writeFileSync(path.join(folder, 'priv-key.txt'), `${SECRETS.privKey}\n`);
  writeFileSync(path.join(folder, 'community.txt'), SECRETS.community);
  const plan = path.join(folder, 'plan.yaml');
  writeFileSync(
    plan,
    `plan: 1
site: { name: Harbour Library, reference: HL-2291 }
networks:
  - { name: mgmt, cidr: 192.0.2.0/24, gateway: 192.0.2.1, vlan: 10, routed: true, mtu: 1500, reserved: [192.0.2.1-192.0.2.9] }
  - { name: far-routed, cidr: 198.51.100.0/25, gateway: 198.51.100.1, routed: true }
  - { name: far-quiet, cidr: 198.51.100.128/25, routed: false }
  - { name: far-mixed, cidr: 203.0.113.0/25, routed: false }
  - { name: apart, cidr: 203.0.113.128/25, routed: false }
  - { name: fabric-a }
  - { name: fabric-b }
devices:
  - { name: vault-1, rack: R3, units: 11-13, feeds: [A, B], default-addresses: [192.0.2.200, 203.0.113.200], mac-prefixes: ["00:00:5e:00:53"], identity: { sysName: "vault-1*", serial: "" },
      controllers: { A: { sysName: vault-1-a }, B: { sysName: vault-1-b } } }
  - { name: gone-1, default-addresses: [192.0.2.201] }
endpoints: address-list.csv
groups:
  - { name: vault-1 mgmt, need: 1, independent: [controller] }
  - { name: vault-1 fc, need: 1, independent: [controller, network] }
  - { name: press-1 to vault-1, from: press-1, to: vault-1 fc, need: 1 }
snmp:
  site-ro: { version: 2c, community: "env:SITE_SNMP" }
  site-v1: { version: 1, community: "file:community.txt" }
  site-v3: { version: 3, user: keeper, level: authPriv, auth: sha256, authKey: "env:SITE_AUTH", priv: aes, privKey: "file:priv-key.txt" }
observe:
  - { subject: vault-1, item: power lamp, expect: steady green }
`,
  );
  return plan;
}
