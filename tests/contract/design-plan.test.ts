/** DESIGN 3 by its own sentences: the ways in, the columns, the keys. The program as a black box: files in, `review --json` out. */
import { describe, expect, it } from 'vitest';
import writeXlsxFile from 'write-excel-file/node';
import { folderWith, run } from '../cli/run.js';

interface Review {
  readonly findings: readonly { code: string; severity: string; subject: string; about: readonly string[] }[];
  readonly groups: readonly { name: string; planned: readonly string[]; need: number; verdict: string }[];
  readonly summary: Readonly<Record<string, number>>;
  readonly capacity: readonly { network: string; planned: number; left: number }[];
}

async function review(
  file: string,
  files: Readonly<Record<string, string | Uint8Array>>,
): Promise<{ status: number; out: string; err: string; result: Review | undefined }> {
  const ran = await run(['review', '--json', file], { cwd: folderWith(files) });
  return { ...ran, result: ran.out === '' ? undefined : (JSON.parse(ran.out) as Review) };
}

/** DESIGN 3, the example as it stands there. */
const EXAMPLE = `plan: 1
site: { name: Harbour Library, reference: HL-2291 }
networks:
  - { name: mgmt, cidr: 192.0.2.0/24, gateway: 192.0.2.1, vlan: 10, routed: true, mtu: 1500,
      reserved: [192.0.2.1-192.0.2.9] }
  - { name: data-a, cidr: 198.51.100.0/25, vlan: 21, routed: false, mtu: 9000 }
devices:
  - { name: vault-1, rack: R3, units: 11-13, feeds: [A, B], default-addresses: [192.0.2.200],
      mac-prefixes: ["00:00:5e:00:53"], identity: { sysName: "vault-1*", serial: "" }, snmp: site-ro,
      controllers: { A: { sysName: "vault-1-a" }, B: { sysName: "vault-1-b" } } }   # where the two tell themselves apart
endpoints: address-list.csv        # or an inline list with the columns above as keys
groups:
  - { name: vault-1 data, need: 1, independent: [controller, switch, network] }
  - { name: press-1 to vault-1, from: press-1, to: vault-1 data, need: 2 }   # host ports x data ports that share a network
snmp:
  site-ro: { version: 2c, community: "env:SITE_SNMP" }   # port: 161 unless given; v3: user, level, auth, authKey, priv, privKey
observe:                          # what only eyes can prove
  - { subject: vault-1, item: power lamp, expect: steady green }
`;

const COLUMNS =
  'device,controller,port,role,network,address,mac,media,services,group,switch,switch port,speed,mtu,interface,virtual,default address,snmp,note';
const ROWS = [
  'vault-1,A,mgmt,management,mgmt,192.0.2.11/24,00:00:5e:00:53:11,copper,https:8443 ssh snmp,,loft-switch,1/0/1,1G,1500,eth0,no,,site-ro,first',
  'vault-1,A,data0,data,data-a,198.51.100.11,,fibre,iscsi-target tcp/8443,vault-1 data,data-switch-a,1,10G,9000,,,,,',
  'vault-1,B,data0,data,data-a,198.51.100.12,,fibre,iscsi-target,vault-1 data,data-switch-b,1,10G,9000,,yes,,,',
  'press-1,,hba0,host,data-a,198.51.100.21,,copper,ssh,,data-switch-a,3,10G,9000,,,,,',
];
const LIST = [COLUMNS, ...ROWS].join('\n');
const codes = (result: Review | undefined): string[] =>
  (result?.findings ?? []).map(({ code, subject }) => `${code} ${subject}`).sort();

describe('the example plan', () => {
  it('loads as it stands, with an address list beside it', async () => {
    const { status, result, err } = await review('plan.yaml', {
      'plan.yaml': EXAMPLE,
      'address-list.csv': LIST,
    });
    expect(err).not.toContain('error');
    // Both data ports are planned on the one network, and the host has one port for two paths.
    expect(codes(result)).toEqual([
      'default-address-in-network 192.0.2.200',
      'group-not-independent vault-1 data',
      'group-single-path press-1 to vault-1',
    ]);
    expect(status).toBe(1);
    expect(result?.groups.map(({ name, need, planned }) => [name, need, planned])).toEqual([
      ['vault-1 data', 1, ['vault-1/A/data0', 'vault-1/B/data0']],
      // Host ports x data ports that share a network.
      ['press-1 to vault-1', 2, ['press-1/hba0 -> vault-1/A/data0', 'press-1/hba0 -> vault-1/B/data0']],
    ]);
    // 254 usable, one planned, nine reserved: the gateway is one of these.
    expect(result?.capacity[0]).toMatchObject({ network: 'mgmt', planned: 1, left: 244 });
    expect(result?.summary).toMatchObject({ stop: 0, fix: 2, note: 1 });
  });

  it('says the same with the list inline, in JSON as in YAML', async () => {
    const names = COLUMNS.split(',');
    const rows = ROWS.map((row) =>
      Object.fromEntries(
        row.split(',').flatMap((cell, at) => (cell === '' ? [] : [[names[at] ?? '', cell]])),
      ),
    );
    const inline = EXAMPLE.replace(/address-list\.csv.*/, JSON.stringify(rows));
    const yaml = await review('plan.yaml', { 'plan.yaml': inline });
    const { parse } = await import('yaml');
    const json = await review('plan.json', { 'plan.json': JSON.stringify(parse(inline)) });
    const list = await review('plan.yaml', { 'plan.yaml': EXAMPLE, 'address-list.csv': LIST });
    for (const { result } of [yaml, json]) {
      expect(codes(result)).toEqual(codes(list.result));
      expect(result?.groups).toEqual(list.result?.groups);
      expect(result?.capacity).toEqual(list.result?.capacity);
    }
  });
});

describe('the address list', () => {
  const group = (result: Review | undefined): readonly string[] | undefined =>
    result?.groups.find(({ name }) => name === 'g')?.planned;
  const HEADER = 'device;controller;port;address;switch port;default address;group';
  const TWO = ['vault-1;A;mgmt;192.0.2.11/24;1/0/1;;g', 'vault-1;B;mgmt;192.0.2.12;1/0/2;203.0.113.7;g'];
  const text = (...lines: string[]): string => `${lines.join('\r\n')}\r\n`;
  const planned = ['vault-1/A/mgmt', 'vault-1/B/mgmt'];

  it.each<[string, string | Uint8Array]>([
    ['semicolons and Windows line ends', text(HEADER, ...TWO)],
    ['commas', text(HEADER, ...TWO).replaceAll(';', ',')],
    ['a byte order mark', `\ufeff${text(HEADER, ...TWO)}`],
    ['Windows-1252', Buffer.from(text('B\u00fcro Loft;;', HEADER, ...TWO), 'latin1')],
    ['title rows above and blank rows below', text('Harbour Library;;', ';;', HEADER, ...TWO, ';;;;;;', '')],
    [
      'other cases, blanks, _ and -',
      text('DEVICE;Controller; Port ;Address;Switch_Port;default-address;GROUP', ...TWO),
    ],
    [
      'another order',
      text(
        'address;group;device;port;controller',
        '192.0.2.11/24;g;vault-1;mgmt;A',
        '192.0.2.12;g;vault-1;mgmt;B',
      ),
    ],
  ])('reads %s', async (_, list) => {
    const { result, err } = await review('list.csv', { 'list.csv': list });
    expect(group(result), err).toEqual(planned);
  });

  it('reads XLSX alike', async () => {
    const cells = [HEADER, ...TWO].map((row) => row.split(';').map((value) => ({ type: String, value })));
    const xlsx = await writeXlsxFile(cells).toBuffer();
    const { result, err } = await review('list.xlsx', { 'list.xlsx': new Uint8Array(xlsx) });
    expect(group(result), err).toEqual(planned);
  });

  it('needs device, port and address, and says which is not there', async () => {
    expect((await review('a.csv', { 'a.csv': 'device,port,address\nv,m,192.0.2.1/24\n' })).status).toBe(0);
    for (const column of ['device', 'port', 'address']) {
      const rest = ['device', 'port', 'address', 'note'].filter((one) => one !== column);
      const { status, err } = await review('a.csv', { 'a.csv': `${rest.join(',')}\nx,y,z\n` });
      expect(status).toBe(2);
      expect(err).toContain(`"${column}"`);
    }
  });

  it('keeps an unknown column and says so once', async () => {
    const list = 'device,port,address,cable number\nv,m,192.0.2.1/24,C1\nw,m,192.0.2.2,C2\n';
    const { status, err } = await review('a.csv', { 'a.csv': list });
    expect(status).toBe(0);
    expect(err.match(/cable number/g)?.length).toBeLessThanOrEqual(2);
    expect(err.split('\n').filter((line) => line.includes('cable number'))).toHaveLength(1);
  });

  it('takes an empty address for Fibre Channel and power in silence', async () => {
    const list = 'device,port,role,media,address\nv,fc0,data,fc,\np,inlet,power,,\n';
    const { status, err } = await review('a.csv', { 'a.csv': list });
    expect([status, err]).toEqual([0, '']);
  });

  it('refuses what has two meanings or none, all of it at once, each with its row and column', async () => {
    const list = 'device,port,address,role,media,services\nv,m,192.0.2.300,boss,glass,htps\n';
    const { status, err, out } = await review('a.csv', { 'a.csv': list });
    expect([status, out]).toEqual([2, '']);
    for (const column of ['address', 'role', 'media', 'services'])
      expect(err).toMatch(new RegExp(`row 2, column "${column}"`));
  });
});
