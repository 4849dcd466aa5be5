/**
 * The site of the main job's test: two arrays of two controllers, a management switch and two data switches, one laptop on all three.
 * Everything is as planned; each test plants its own faults.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { Lab, type LabHost, type LabSwitch } from './lab.js';
import { makeCertificate, startEquipment, startSnmpd } from './services.js';

export interface TwoArrays {
  readonly lab: Lab;
  readonly laptop: LabHost;
  readonly switches: Readonly<Record<'mgmt' | 'a' | 'b', LabSwitch>>;
  readonly controllers: Readonly<Record<ControllerName, LabHost>>;
  readonly planFile: string;
}

export const CONTROLLERS = ['vault-1-a', 'vault-1-b', 'vault-2-a', 'vault-2-b'] as const;
export type ControllerName = (typeof CONTROLLERS)[number];

export interface Variation {
  /** SSH lines: controllers where nothing listens. */
  readonly withoutSsh?: readonly ControllerName[];
  readonly expiredCertificate?: readonly ControllerName[];
  /** Controllers whose management addresses are swapped with each other. */
  readonly swapped?: readonly [ControllerName, ControllerName];
}

const last = (name: ControllerName): number => 11 + CONTROLLERS.indexOf(name);

export const addressOf = (name: ControllerName): string => `192.0.2.${last(name)}`;

export async function buildTwoArrays(variation: Variation = {}): Promise<TwoArrays> {
  const lab = new Lab();
  try {
    return await buildIn(lab, variation);
  } catch (error) {
    await lab.remove();
    throw error;
  }
}

async function buildIn(lab: Lab, variation: Variation): Promise<TwoArrays> {
  const switches = {
    mgmt: await lab.addSwitch('loft-switch'),
    a: await lab.addSwitch('data-switch-a'),
    b: await lab.addSwitch('data-switch-b'),
  };
  const laptop = await lab.addHost('laptop', [
    { switch: switches.mgmt, name: 'eth0', addresses: ['192.0.2.5/24'] },
    { switch: switches.a, name: 'eth1', addresses: ['198.51.100.5/25'], mtu: 9000 },
    { switch: switches.b, name: 'eth2', addresses: ['198.51.100.133/25'], mtu: 9000 },
  ]);
  await lab.addHost('gateway', [{ switch: switches.mgmt, name: 'eth0', addresses: ['192.0.2.1/24'] }]);
  const controllers = Object.fromEntries(
    await Promise.all(
      CONTROLLERS.map(async (name) => [name, await buildController(lab, switches, name, variation)] as const),
    ),
  ) as Record<ControllerName, LabHost>;
  return { lab, laptop, switches, controllers, planFile: writePlan(lab) };
}

async function buildController(
  lab: Lab,
  switches: TwoArrays['switches'],
  name: ControllerName,
  variation: Variation,
): Promise<LabHost> {
  const [first, second] = variation.swapped ?? [];
  const at = name === first && second ? second : name === second && first ? first : name;
  const own = last(name).toString(16).padStart(2, '0');
  const host = await lab.addHost(name, [
    { switch: switches.mgmt, name: 'mgmt', mac: `00:00:5e:00:53:${own}`, addresses: [`${addressOf(at)}/24`] },
    { switch: switches.a, name: 'data0', addresses: [`198.51.100.${last(name)}/25`], mtu: 9000 },
    { switch: switches.b, name: 'data1', addresses: [`198.51.100.${128 + last(name)}/25`], mtu: 9000 },
  ]);
  const expired = variation.expiredCertificate?.includes(name) === true;
  const tls = await makeCertificate(lab, `${name}.example`, { expired });
  const line = { port: 22, line: 'SSH-2.0-Example_1.0' };
  await startEquipment(host, {
    web: [{ port: 443, tls, title: `${name} console`, server: 'example-mgmt/2' }],
    lines: variation.withoutSsh?.includes(name) ? [] : [line],
    open: [3260],
  });
  await startSnmpd(host, { sysName: name });
  return host;
}

function writePlan(lab: Lab): string {
  const folder = path.join(lab.folder, 'plan');
  mkdirSync(folder, { recursive: true });
  const rows = CONTROLLERS.flatMap((name) => {
    const [device, controller] = [name.slice(0, -2), name.endsWith('a') ? 'A' : 'B'];
    const mac = `00-00-5E-00-53-${last(name).toString(16).padStart(2, '0').toUpperCase()}`;
    return [
      `${device},${controller},mgmt,management,mgmt,${addressOf(name)}/24,${mac},https ssh snmp,${device} mgmt,loft-switch`,
      `${device},${controller},data0,data,data-a,198.51.100.${last(name)}/25,,tcp/3260,${device} data,data-switch-a`,
      `${device},${controller},data1,data,data-b,198.51.100.${128 + last(name)}/25,,tcp/3260,${device} data,data-switch-b`,
    ];
  });
  const header = 'device,controller,port,role,network,address,mac,services,group,switch';
  writeFileSync(path.join(folder, 'address-list.csv'), `${[header, ...rows].join('\r\n')}\r\n`);
  const device = (name: string): string =>
    `  - { name: ${name}, feeds: [A, B], snmp: site-ro, identity: { sysName: "${name}*" }, ` +
    `controllers: { A: { sysName: "${name}-a" }, B: { sysName: "${name}-b" } } }`;
  const plan = path.join(folder, 'plan.yaml');
  writeFileSync(
    plan,
    [
      'plan: 1',
      'site: { name: Harbour Library, reference: LAB-1 }',
      'networks:',
      '  - { name: mgmt, cidr: 192.0.2.0/24, gateway: 192.0.2.1, vlan: 10, routed: true, mtu: 1500 }',
      '  - { name: data-a, cidr: 198.51.100.0/25, vlan: 21, routed: false, mtu: 9000 }',
      '  - { name: data-b, cidr: 198.51.100.128/25, vlan: 22, routed: false, mtu: 9000 }',
      'devices:',
      device('vault-1'),
      device('vault-2'),
      'endpoints: address-list.csv',
      'groups:',
      '  - { name: vault-1 mgmt, need: 1, independent: [controller] }',
      '  - { name: vault-2 mgmt, need: 1, independent: [controller] }',
      '  - { name: vault-1 data, need: 1, independent: [controller, switch, network] }',
      '  - { name: vault-2 data, need: 1, independent: [controller, switch, network] }',
      'snmp:',
      '  site-ro: { version: 2c, community: "env:SITE_SNMP" }',
      '',
    ].join('\n'),
  );
  return plan;
}

/** The community that the plan's `env:SITE_SNMP` names. */
export const LAB_ENV = { SITE_SNMP: 'lab-read' } as const;
