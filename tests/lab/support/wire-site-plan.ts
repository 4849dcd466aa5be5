/** The plan of the site where the wrong device answers, two answer, or nobody does. */
import { mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import type { Lab } from './lab.js';

export const LAPTOP = '192.0.2.5';
export const GATEWAY = '192.0.2.1';

/** Documentation MACs (RFC 7042 §2.1.2), by their last octet. */
export const mac = (last: number): string => `00:00:5e:00:53:${last.toString(16).padStart(2, '0')}`;
/** Virtual router MACs (RFC 9568 §7.3), by router id. */
export const routerMac = (id: number): string => `00:00:5e:00:01:${id.toString(16).padStart(2, '0')}`;

/** Endpoints of the plan by what is special about them: id -> address. */
export const AT = {
  single: '192.0.2.10',
  both: '192.0.2.11',
  late: '192.0.2.12',
  turns: '192.0.2.13',
  router: '192.0.2.14',
  relayed: '192.0.2.15',
  moving: '192.0.2.16',
  dead: '192.0.2.31',
  gone: '192.0.2.32',
  six: '2001:db8::11',
  sixMissing: '2001:db8::12',
  sixBoth: '2001:db8::13',
} as const;

/** Held by a printer that no plan has. */
export const STRANGERS = ['192.0.2.60', '192.0.2.61'] as const;

/** Devices whose A and B sit at each other's address, with how the plan tells the two apart. */
export const SWAPPED = {
  'by-mac': [41, 42],
  'by-sysname': [43, 44],
  'by-certificate': [45, 46],
  'by-ssh': [47, 48],
  'by-uuid': [49, 50],
} as const;
export type Swapped = keyof typeof SWAPPED;

export const uuidOf = (host: number): string => `00000000-0000-4000-8000-0000000000${host}`;

const IDENTITY: Readonly<Record<Swapped, (name: string, host: number) => string>> = {
  'by-mac': () => '{}',
  'by-sysname': (name) => `{ sysName: ${name} }`,
  'by-certificate': (name) => `{ certificate: ${name}.example }`,
  'by-ssh': (name) => `{ ssh: "SSH-2.0-Example_${name}" }`,
  'by-uuid': (_name, host) => `{ uuid: "${uuidOf(host)}" }`,
};
const SERVICES: Readonly<Record<Swapped, string>> = {
  'by-mac': '',
  'by-sysname': 'snmp',
  'by-certificate': 'https',
  'by-ssh': 'ssh',
  'by-uuid': 'https',
};

const entry = (fields: Readonly<Record<string, string>>): string =>
  `  - { ${Object.entries(fields)
    .filter(([, value]) => value !== '')
    .map(([key, value]) => `${key}: ${/[:]/.test(value) ? `"${value}"` : value}`)
    .join(', ')} }`;

const endpoint = (device: string, address: string, more: Readonly<Record<string, string>> = {}): string =>
  entry({ device, port: 'mgmt', role: 'management', address, ...more });

function swappedLines(): { devices: string[]; endpoints: string[] } {
  const devices: string[] = [];
  const endpoints: string[] = [];
  for (const [device, hosts] of Object.entries(SWAPPED) as [Swapped, readonly [number, number]][]) {
    const [a, b] = hosts;
    const [isA, isB] = [IDENTITY[device](`${device}-a`, a), IDENTITY[device](`${device}-b`, b)];
    devices.push(
      `  - { name: ${device}${device === 'by-sysname' ? ', snmp: site-ro' : ''}, controllers: { A: ${isA}, B: ${isB} } }`,
    );
    for (const [controller, host] of [
      ['A', a],
      ['B', b],
    ] as const)
      endpoints.push(
        endpoint(device, `192.0.2.${host}`, {
          controller,
          services: SERVICES[device],
          mac: device === 'by-mac' ? mac(host) : '',
        }),
      );
  }
  return { devices, endpoints };
}

export function writeWirePlan(lab: Lab): string {
  const swapped = swappedLines();
  const text = [
    'plan: 1',
    'site: { name: Harbour Library, reference: LAB-WIRE }',
    'networks:',
    `  - { name: mgmt, cidr: 192.0.2.0/24, gateway: ${GATEWAY} }`,
    '  - { name: six, cidr: "2001:db8::/64" }',
    'devices:',
    ...swapped.devices,
    'endpoints:',
    endpoint('alone', AT.single, { mac: mac(10) }),
    endpoint('both', AT.both),
    endpoint('late', AT.late),
    endpoint('turns', AT.turns),
    endpoint('router', AT.router),
    endpoint('relayed', AT.relayed),
    endpoint('pair', AT.moving, { port: 'service', virtual: 'yes', services: 'http' }),
    endpoint('pair', '192.0.2.17', { controller: 'A', mac: mac(17), services: 'http' }),
    endpoint('pair', '192.0.2.18', { controller: 'B', mac: mac(18), services: 'http' }),
    endpoint('desk', LAPTOP),
    endpoint('edge', GATEWAY),
    endpoint('dead', AT.dead),
    endpoint('gone', AT.gone),
    endpoint('six-there', AT.six),
    endpoint('six-missing', AT.sixMissing),
    endpoint('six-both', AT.sixBoth),
    ...swapped.endpoints,
    'snmp:',
    '  site-ro: { version: 2c, community: "env:SITE_SNMP" }',
    '',
  ].join('\n');
  const folder = path.join(lab.folder, 'plan');
  mkdirSync(folder, { recursive: true });
  const file = path.join(folder, 'wire.yaml');
  writeFileSync(file, text);
  return file;
}
