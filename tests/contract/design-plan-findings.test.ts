/** DESIGN 6: every plan finding is raised by a plan that has that one fault, with the right subject; each ends with the status of DESIGN 4. */
import { expect, it } from 'vitest';
import { folderWith, run } from '../cli/run.js';

type Row = Readonly<Record<string, string>>;

const A: Row = {
  ...{ device: 'vault-1', controller: 'A', port: 'mgmt', role: 'management', network: 'mgmt' },
  ...{ address: '192.0.2.11', services: 'https' },
};
const B: Row = { ...A, controller: 'B', address: '192.0.2.12' };
const OTHER: Row = { ...A, device: 'vault-2', address: '192.0.2.21' };
const MGMT = {
  ...{ name: 'mgmt', cidr: '192.0.2.0/24', gateway: '192.0.2.1', routed: true },
  reserved: ['192.0.2.1-192.0.2.9'],
};
const SECRET = 'zz-literal-community';

interface Case {
  readonly finding: string;
  readonly severity: 'stop' | 'fix' | 'note';
  readonly endpoints?: readonly Row[];
  readonly networks?: readonly unknown[];
  readonly rest?: Readonly<Record<string, unknown>>;
}

const CASES: readonly Case[] = [
  {
    finding: 'address-duplicate 192.0.2.11',
    severity: 'stop',
    endpoints: [A, { ...B, address: '192.0.2.11' }],
  },
  {
    finding: 'address-outside-network vault-1/B/mgmt',
    severity: 'fix',
    endpoints: [A, { ...B, address: '203.0.113.12' }],
  },
  {
    finding: 'address-reserved vault-1/B/mgmt',
    severity: 'fix',
    endpoints: [A, { ...B, address: '192.0.2.7' }],
  },
  {
    finding: 'address-is-network-or-broadcast vault-1/B/mgmt',
    severity: 'fix',
    endpoints: [A, { ...B, address: '192.0.2.255' }],
  },
  {
    finding: 'networks-overlap mgmt',
    severity: 'fix',
    networks: [MGMT, { name: 'old', cidr: '192.0.2.128/25' }],
  },
  { finding: 'gateway-outside-network mgmt', severity: 'fix', networks: [{ ...MGMT, gateway: '192.0.3.1' }] },
  {
    finding: 'mac-duplicate 00:00:5e:00:53:11',
    severity: 'fix',
    endpoints: [
      { ...A, mac: '00-00-5E-00-53-11' },
      { ...B, mac: '0000.5e00.5311' },
    ],
  },
  {
    finding: 'default-address-shared 203.0.113.200',
    severity: 'note',
    endpoints: [A, B, OTHER],
    rest: {
      devices: ['vault-1', 'vault-2'].map((name) => ({ name, 'default-addresses': ['203.0.113.200'] })),
    },
  },
  {
    finding: 'default-address-in-network 192.0.2.200',
    severity: 'note',
    endpoints: [{ ...A, 'default address': '192.0.2.200' }, B],
  },
  {
    finding: 'group-not-independent g',
    severity: 'fix',
    endpoints: [A, B].map((row) => ({ ...row, group: 'g', switch: 'loft-switch' })),
    rest: { groups: [{ name: 'g', need: 1, independent: ['controller', 'switch'] }] },
  },
  {
    finding: 'group-single-path g',
    severity: 'fix',
    endpoints: [{ ...A, group: 'g' }, B],
    rest: { groups: [{ name: 'g', need: 1 }] },
  },
  {
    finding: 'not-enough-addresses tiny',
    severity: 'stop',
    networks: [{ name: 'tiny', cidr: '203.0.113.0/30' }],
    endpoints: ['1', '2', '3'].map((last) => ({
      ...{
        device: `press-${last}`,
        port: 'p',
        network: 'tiny',
        services: 'ssh',
        address: `203.0.113.${last}`,
      },
    })),
  },
  {
    finding: 'rack-units-overlap vault-1',
    severity: 'fix',
    endpoints: [A, B, OTHER],
    rest: {
      devices: [
        { name: 'vault-1', rack: 'R3', units: '11-13' },
        { name: 'vault-2', rack: 'R3', units: '13' },
      ],
    },
  },
  {
    finding: 'feeds-not-redundant vault-1',
    severity: 'fix',
    rest: { devices: [{ name: 'vault-1', feeds: ['A', 'A'] }] },
  },
  {
    finding: 'switch-port-duplicate loft-switch 1/0/1',
    severity: 'fix',
    endpoints: [A, B].map((row) => ({ ...row, switch: 'loft-switch', 'switch port': '1/0/1' })),
  },
  {
    finding: 'literal-secret site-ro',
    severity: 'note',
    endpoints: [{ ...A, services: 'https snmp', snmp: 'site-ro' }, B],
    rest: { snmp: { 'site-ro': { version: '2c', community: SECRET } } },
  },
  {
    finding: 'mask-mismatch mgmt',
    severity: 'fix',
    endpoints: [
      { ...A, address: '192.0.2.11/24' },
      { ...B, address: '192.0.2.12/25' },
    ],
  },
];

interface Told {
  readonly findings: readonly Readonly<
    Record<'code' | 'severity' | 'subject' | 'message' | 'advice', string>
  >[];
  readonly summary: Readonly<Record<string, number>>;
  readonly groups: readonly unknown[];
}

const review = async (
  one: Omit<Case, 'finding' | 'severity'>,
): Promise<{ status: number; told: Told; all: string }> => {
  const { endpoints = [A, B], networks = [MGMT], rest = {} } = one;
  const plan = JSON.stringify({ plan: 1, site: { name: 'Loft' }, networks, endpoints, ...rest });
  const cwd = folderWith({ 'plan.json': plan });
  const { status, out, err } = await run(['review', 'plan.json', '--json'], { cwd });
  const text = await run(['review', 'plan.json'], { cwd });
  return { status, told: JSON.parse(out) as Told, all: out + err + text.out + text.err };
};

it.each(CASES)('$finding is a $severity', async ({ finding, severity, ...one }) => {
  const { status, told, all } = await review(one);
  const found = told.findings.find(({ code, subject }) => `${code} ${subject}` === finding);
  expect(found?.severity, JSON.stringify(told.findings)).toBe(severity);
  expect(found?.message).not.toBe('');
  expect(found?.advice).not.toBe('');
  for (const key of ['stop', 'fix', 'note'])
    expect(told.summary[key]).toBe(told.findings.filter((other) => other.severity === key).length);
  expect(status).toBe(told.findings.some((other) => other.severity !== 'note') ? 1 : 0);
  expect(all).not.toContain(SECRET);
});

it('a sound plan has none of them', async () => {
  const { status, told } = await review({});
  const codes = new Set(CASES.map(({ finding }) => finding.split(' ')[0]));
  expect([status, told.findings.filter(({ code }) => codes.has(code))]).toEqual([0, []]);
});
