/** Where everything of the embedded site stands. Invented; loopback addresses and unprivileged ports only. */

export interface DemoPorts {
  readonly http: number;
  readonly https: number;
  readonly ssh: number;
  readonly snmp: number;
  readonly iscsi: number;
}

/** The well-known numbers, lifted by `base` out of the privileged range and away from real services of this laptop. */
export function portsFrom(base: number): DemoPorts {
  return { http: base + 80, https: base + 443, ssh: base + 22, snmp: base + 161, iscsi: base + 3260 };
}

/** Tried in this order; the next one where a port of the first is taken. */
export const PORT_BASES: readonly number[] = [18_000, 28_000, 38_000, 48_000];

export const NETWORKS = {
  mgmt: { cidr: '127.10.1.0/24', vlan: 10 },
  'storage-a': { cidr: '127.10.2.0/24', vlan: 21 },
  'storage-b': { cidr: '127.10.3.0/24', vlan: 22 },
} as const;

export const ADDRESS = {
  'vault-1/A/mgmt': '127.10.1.11',
  'vault-1/B/mgmt': '127.10.1.12',
  'vault-2/A/mgmt': '127.10.1.21',
  'vault-2/B/mgmt': '127.10.1.22',
  'loft-switch-1/mgmt': '127.10.1.31',
  'loft-switch-2/mgmt': '127.10.1.32',
  'press-1/mgmt': '127.10.1.41',
  'power-1/mgmt': '127.10.1.51',
  'vault-1/A/data0': '127.10.2.11',
  'vault-2/A/data0': '127.10.2.21',
  'press-1/h0': '127.10.2.41',
  'vault-1/B/data0': '127.10.3.12',
  'vault-2/B/data0': '127.10.3.22',
  'press-1/h1': '127.10.3.41',
} as const;

export type DemoEndpoint = keyof typeof ADDRESS;

/** VLAN of the planned network that an endpoint's address lies in. */
export function vlanOf(endpoint: DemoEndpoint): number {
  const prefix = ADDRESS[endpoint].replace(/\d+$/, '');
  const network = Object.values(NETWORKS).find(({ cidr }) => cidr.startsWith(prefix));
  if (network === undefined) throw new Error(`no network holds ${endpoint}`);
  return network.vlan;
}

/** MACs of the documentation range (RFC 9542 §2.1.4). */
export const MAC: Readonly<Record<DemoEndpoint, string>> = {
  'vault-1/A/mgmt': '00:00:5e:00:53:11',
  'vault-1/B/mgmt': '00:00:5e:00:53:12',
  'vault-2/A/mgmt': '00:00:5e:00:53:21',
  'vault-2/B/mgmt': '00:00:5e:00:53:22',
  'loft-switch-1/mgmt': '00:00:5e:00:53:31',
  'loft-switch-2/mgmt': '00:00:5e:00:53:32',
  'press-1/mgmt': '00:00:5e:00:53:41',
  'power-1/mgmt': '00:00:5e:00:53:51',
  'vault-1/A/data0': '00:00:5e:00:53:61',
  'vault-1/B/data0': '00:00:5e:00:53:62',
  'vault-2/A/data0': '00:00:5e:00:53:71',
  'vault-2/B/data0': '00:00:5e:00:53:72',
  'press-1/h0': '00:00:5e:00:53:81',
  'press-1/h1': '00:00:5e:00:53:82',
};

/** Not a secret: the site lives as long as the command and on loopback alone. */
export const COMMUNITY = 'harbour-demo';
