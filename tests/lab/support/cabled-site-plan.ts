/** What the plan of the cabled site says: which cable goes where, and the file that the program reads. */
export type SwitchKey = 'loft' | 'a' | 'b';

export const SWITCH_NAMES = { loft: 'loft-switch', a: 'data-switch-a', b: 'data-switch-b' } as const;

interface PlannedCable {
  readonly address: string;
  readonly prefix: number;
  readonly mac: string;
  readonly mtu: number;
  readonly switch: SwitchKey;
  readonly port: number;
}

const cable = (address: string, own: string, at: SwitchKey, port: number): PlannedCable => ({
  address,
  prefix: at === 'loft' ? 24 : 25,
  mac: `00:00:5e:00:53:${own}`,
  mtu: at === 'loft' ? 1500 : 9000,
  switch: at,
  port,
});

export const PLANNED = {
  'vault-1/A/mgmt': cable('192.0.2.11', 'a0', 'loft', 11),
  'vault-1/B/mgmt': cable('192.0.2.12', 'b0', 'loft', 12),
  'vault-1/A/data0': cable('198.51.100.11', 'a1', 'a', 11),
  'vault-1/B/data0': cable('198.51.100.12', 'b1', 'a', 12),
  'vault-1/A/data1': cable('198.51.100.139', 'a2', 'b', 11),
  'vault-1/B/data1': cable('198.51.100.140', 'b2', 'b', 12),
  'data-switch-a/mgmt': cable('192.0.2.21', 'c1', 'loft', 21),
  'data-switch-b/mgmt': cable('192.0.2.22', 'c2', 'loft', 22),
} as const satisfies Record<string, PlannedCable>;

/** The link between the data switches, port 24 of both; planned as a cable of each into the other. */
export const UPLINK = {
  'data-switch-a/port24': { mac: '00:00:5e:00:53:d1', far: 'data-switch-b' },
  'data-switch-b/port24': { mac: '00:00:5e:00:53:d2', far: 'data-switch-a' },
} as const;

export type Name = keyof typeof PLANNED;
export const NAMES = Object.keys(PLANNED) as readonly Name[];
export const DATA_NAMES = NAMES.filter((name) => name.includes('/data'));

export function planText(withIscsi: boolean): string {
  return [
    'plan: 1',
    'site: { name: Harbour Library, reference: LAB-4 }',
    'networks:',
    '  - { name: mgmt, cidr: 192.0.2.0/24, vlan: 10, routed: true, mtu: 1500 }',
    '  - { name: data-a, cidr: 198.51.100.0/25, vlan: 21, routed: false, mtu: 9000 }',
    '  - { name: data-b, cidr: 198.51.100.128/25, vlan: 22, routed: false, mtu: 9000 }',
    'devices:',
    '  - { name: vault-1, snmp: site-ro, controllers: { A: { sysName: vault-1-a }, B: { sysName: vault-1-b } } }',
    ...Object.values(SWITCH_NAMES).map(
      (name) => `  - { name: ${name}, snmp: site-ro, identity: { sysName: ${name} } }`,
    ),
    'endpoints:',
    '  - { device: loft-switch, port: mgmt, role: switch, network: mgmt, address: 192.0.2.20, services: snmp }',
    ...NAMES.map((name) => rowOf(name, withIscsi)),
    ...Object.entries(UPLINK).map(([name, { mac, far }]) => {
      const device = name.slice(0, name.indexOf('/'));
      return `  - { device: ${device}, port: port24, interface: port24, role: switch, mac: "${mac}", switch: ${far}, "switch port": port 24, speed: 10G }`;
    }),
    'groups:',
    '  - { name: vault-1 data, need: 1, independent: [controller, switch, network] }',
    'snmp:',
    '  site-ro: { version: 2c, community: "env:SITE_SNMP" }',
    '',
  ].join('\n');
}

function rowOf(name: Name, withIscsi: boolean): string {
  const { address, mac, mtu, port, switch: key } = PLANNED[name];
  const [device, ...rest] = name.split('/');
  const [controller, nic] = rest.length === 2 ? rest : [undefined, rest[0]];
  const data = nic?.startsWith('data') === true;
  const fields = {
    device,
    ...(controller === undefined ? {} : { controller }),
    port: nic,
    role: controller === undefined ? 'switch' : data ? 'data' : 'management',
    network: data ? `data-${key}` : 'mgmt',
    address,
    mac: `"${mac}"`,
    interface: nic,
    switch: SWITCH_NAMES[key],
    '"switch port"': `port ${port}`,
    speed: data ? '10G' : '1G',
    mtu,
    ...(data ? { group: 'vault-1 data' } : {}),
    ...(data ? (withIscsi ? { services: 'iscsi-target' } : {}) : { services: 'snmp' }),
  };
  return `  - { ${Object.entries(fields)
    .map(([key, value]) => `${key}: ${value}`)
    .join(', ')} }`;
}
