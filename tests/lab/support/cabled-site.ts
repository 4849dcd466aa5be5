/**
 * One array of two controllers, two data switches with a link between them, a management switch, a laptop on all three. Every switch
 * can be asked. Built as planned; a variation says what was cabled or set otherwise.
 */
import { mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import type { Matrix } from '../../../src/matrix/matrix.js';
import {
  DATA_NAMES,
  NAMES,
  type Name,
  PLANNED,
  planText,
  type SwitchKey,
  UPLINK,
} from './cabled-site-plan.js';
import { Lab, LabHost, type LabSwitch, PROJECT } from './lab.js';
import { must, type Running } from './run.js';
import { startSnmpd } from './services.js';
import { type SwitchAgent, startLldpd, startSwitchAgent } from './switch-agent.js';
import { startTgt, type Tgt } from './tgt.js';

export const COMMUNITY = 'lab-read';
export const TARGET = 'iqn.2001-04.com.example:vault-1';

export const SWITCH_ADDRESS = { loft: '192.0.2.20', a: '192.0.2.21', b: '192.0.2.22' } as const;
/** LLDP-MIB (2005). */
export const LLDP_REM_SYS_NAME = '1.0.8802.1.1.2.1.4.1.1.9';

/** `"70 6F "` of `snmpwalk -Ox`, as octets and as text. */
export const octetsOf = (shown: string): Buffer => Buffer.from(shown.replace(/[" \n]/g, ''), 'hex');
export const octetText = (shown: string): string => octetsOf(shown).toString('utf8');

export interface Hole {
  readonly switch: SwitchKey;
  readonly port: number;
}

export interface Variation {
  /** Cables that are not where the plan has them. */
  readonly cables?: Partial<Record<Name, Hole>>;
  /** Port of the second data switch that the link between the two ends in; planned is 24. */
  readonly uplinkAt?: number;
  /** Who sends and hears LLDP; default nobody, which leaves the forwarding tables. */
  readonly lldp?: 'everybody' | 'switches';
  /** Ports whose own agent says 1G (snmpd's `interface`): a controller's, or a switch's as `data-switch-a/port11`. */
  readonly slow?: readonly string[];
  readonly agents?: Partial<Record<SwitchKey, SwitchAgent>>;
  /** `tgt`, or what both controllers list at every portal, whatever was asked. Default: nothing listens. */
  readonly iscsi?: 'tgt' | { readonly lists: readonly string[] };
}

export interface CabledSite {
  readonly lab: Lab;
  readonly laptop: LabHost;
  readonly switches: Readonly<Record<SwitchKey, LabSwitch>>;
  readonly controllers: Readonly<Record<'A' | 'B', LabHost>>;
  readonly planFile: string;
  /** Makes every device speak once, so that each switch has learned it. */
  learn(): Promise<void>;
  check(): Promise<{ matrix: Matrix; exitCode: number | null; folder: string }>;
  /** Waits until the switches tell as many LLDP neighbours as there are cables to senders. */
  lldpHeard(counts: Readonly<Record<SwitchKey, number>>): Promise<void>;
  /** Rows under one OID as `snmpwalk -On` gives them, OID without its leading dot. */
  walk(address: string, oid: string): Promise<readonly (readonly [oid: string, value: string])[]>;
  remove(): Promise<void>;
}

export async function buildCabledSite(variation: Variation = {}): Promise<CabledSite> {
  const lab = new Lab();
  const targets: Tgt[] = [];
  const remove = async (): Promise<void> => {
    await Promise.all(targets.map((target) => target.stop()));
    await lab.remove();
  };
  try {
    return { ...(await buildIn(lab, variation, targets)), remove };
  } catch (error) {
    await remove();
    throw error;
  }
}

async function buildIn(lab: Lab, variation: Variation, targets: Tgt[]): Promise<Omit<CabledSite, 'remove'>> {
  const switches = {
    loft: await lab.addSwitch('loft-switch'),
    a: await lab.addSwitch('data-switch-a'),
    b: await lab.addSwitch('data-switch-b'),
  };
  const laptop = await lab.addHost('laptop', [
    { switch: switches.loft, name: 'eth0', port: 'port1', addresses: ['192.0.2.5/24'] },
    { switch: switches.a, name: 'eth1', port: 'port1', addresses: ['198.51.100.5/25'], mtu: 9000 },
    { switch: switches.b, name: 'eth2', port: 'port1', addresses: ['198.51.100.133/25'], mtu: 9000 },
  ]);
  const controllers = { A: await lab.addHost('vault-1-a'), B: await lab.addHost('vault-1-b') };
  await switches.loft.must('ip', [
    'address',
    'add',
    `${SWITCH_ADDRESS.loft}/24`,
    'dev',
    switches.loft.bridge,
  ]);
  const places: Readonly<Record<string, LabHost>> = {
    'vault-1/A': controllers.A,
    'vault-1/B': controllers.B,
    'data-switch-a': new LabHost(lab, 'data-switch-a', switches.a.namespace),
    'data-switch-b': new LabHost(lab, 'data-switch-b', switches.b.namespace),
  };
  for (const name of NAMES) {
    const { address, prefix, mac, mtu, ...planned } = PLANNED[name];
    const hole = variation.cables?.[name] ?? planned;
    const [place, nic] = [name.slice(0, name.lastIndexOf('/')), name.slice(name.lastIndexOf('/') + 1)];
    const host = places[place];
    if (host === undefined) throw new Error(`no place ${place}`);
    const addresses = [`${address}/${prefix}`];
    await lab.cable(host, {
      switch: switches[hole.switch],
      name: nic,
      port: `port${hole.port}`,
      mac,
      addresses,
      mtu,
    });
  }
  await joinSwitches(switches.a, switches.b, variation.uplinkAt ?? 24);
  await leaveEmpty(lab, switches, variation);
  // A device with several ports in one broadcast domain answers for an address on its own port alone, as storage does.
  for (const host of [laptop, ...Object.values(controllers)])
    await host.must('sysctl', ['-qw', 'net.ipv4.conf.all.arp_ignore=1', 'net.ipv4.conf.all.arp_announce=2']);
  await linksSettled([...Object.values(switches), ...Object.values(controllers)]);
  await Promise.all([
    ...(['loft', 'a', 'b'] as const).map((key) => startSwitch(switches[key], key, variation)),
    ...(['A', 'B'] as const).map((key) => startController(controllers[key], key, variation, targets)),
  ]);
  const walk: CabledSite['walk'] = async (address, oid) => {
    const args = ['-v2c', '-c', COMMUNITY, '-On', '-OQ', '-Ox', address, oid];
    const text = await laptop.must('snmpwalk', args, { env: { MIBS: '' } });
    return text.split('\n').flatMap((line) => {
      const [name, value] = line.split(' = ');
      return name?.startsWith(`.${oid}.`) === true ? [[name.slice(1), value ?? ''] as const] : [];
    });
  };
  const planFile = path.join(lab.folder, 'plan', 'plan.yaml');
  mkdirSync(path.dirname(planFile), { recursive: true });
  writeFileSync(planFile, planText(variation.iscsi !== undefined));
  return {
    lab,
    laptop,
    switches,
    controllers,
    planFile,
    async learn() {
      const all = [SWITCH_ADDRESS.loft, ...NAMES.map((name) => PLANNED[name].address)];
      await Promise.all(all.map((address) => laptop.must('ping', ['-c', '1', '-W', '2', address])));
    },
    async check() {
      const folder = path.join(lab.folder, 'run');
      const ran = await laptop.matchmark(
        ['check', planFile, '--out', folder, '--vantage', 'laptop', '--json'],
        {
          env: { SITE_SNMP: COMMUNITY },
        },
      );
      if (ran.stdout === '') throw new Error(`no result: exit ${ran.exitCode}: ${ran.stderr}`);
      return { matrix: JSON.parse(ran.stdout) as Matrix, exitCode: ran.exitCode, folder };
    },
    walk,
    async lldpHeard(counts) {
      const until = Date.now() + 20_000;
      for (const key of ['loft', 'a', 'b'] as const)
        while ((await walk(SWITCH_ADDRESS[key], LLDP_REM_SYS_NAME)).length < counts[key]) {
          if (Date.now() > until) throw new Error(`${switches[key].name} hears too few LLDP neighbours`);
          await new Promise((resolve) => setTimeout(resolve, 200));
        }
    },
  };
}

/** The link between the two data switches, from port 24 of the first. */
async function joinSwitches(a: LabSwitch, b: LabSwitch, portOfB: number): Promise<void> {
  const far = `port${portOfB}`;
  await must('ip', [
    ...['link', 'add', 'port24', 'netns', a.namespace, 'type', 'veth'],
    ...['peer', 'name', far, 'netns', b.namespace],
  ]);
  // A port has its MAC whatever is plugged into it: another port, another MAC.
  const ownMac = ['address', UPLINK['data-switch-b/port24'].mac];
  for (const [{ namespace, bridge }, port, mac] of [
    [a, 'port24', ['address', UPLINK['data-switch-a/port24'].mac]],
    [b, far, portOfB === 24 ? ownMac : []],
  ] as const) {
    await must('ip', ['-n', namespace, 'link', 'set', port, ...mac, 'mtu', '9000']);
    await must('ip', ['-n', namespace, 'link', 'set', port, 'master', bridge, 'up']);
  }
}

/** Planned holes that no cable is in: a switch has the port all the same, with no link. */
async function leaveEmpty(
  lab: Lab,
  switches: CabledSite['switches'],
  { cables = {}, uplinkAt = 24 }: Variation,
): Promise<void> {
  const taken = NAMES.map((name) => cables[name] ?? PLANNED[name]).map((at) => `${at.switch} ${at.port}`);
  const holes = NAMES.map((name) => PLANNED[name]).map(
    ({ switch: at, port }): Hole => ({ switch: at, port }),
  );
  const empty = holes.filter((at) => !taken.includes(`${at.switch} ${at.port}`));
  if (uplinkAt !== 24) empty.push({ switch: 'b', port: 24 });
  if (empty.length === 0) return;
  const shelf = await lab.addHost('shelf');
  for (const [index, { switch: key, port }] of empty.entries()) {
    const { namespace, bridge } = switches[key];
    await must('ip', [
      ...['link', 'add', `loose${index}`, 'netns', shelf.namespace, 'type', 'veth'],
      ...['peer', 'name', `port${port}`, 'netns', namespace],
    ]);
    const mac = port === 24 ? ['address', UPLINK['data-switch-b/port24'].mac] : [];
    await must('ip', ['-n', namespace, 'link', 'set', `port${port}`, ...mac, 'mtu', '9000']);
    await must('ip', ['-n', namespace, 'link', 'set', `port${port}`, 'master', bridge, 'up']);
  }
}

/** The kernel tells the state of a fresh link up to a second late, and snmpd would keep the old one for seconds more. */
async function linksSettled(places: readonly (LabHost | LabSwitch)[]): Promise<void> {
  const until = Date.now() + 10_000;
  for (const place of places)
    for (;;) {
      const links = JSON.parse(await place.must('ip', ['-j', 'link'])) as readonly IpLink[];
      const late = links.filter(
        ({ flags, operstate }) => flags.includes('LOWER_UP') !== (operstate === 'UP'),
      );
      if (late.every(({ ifname }) => ifname === 'lo')) break;
      if (Date.now() > until)
        throw new Error(`links of ${place.name} do not settle: ${JSON.stringify(late)}`);
      await new Promise((resolve) => setTimeout(resolve, 100));
    }
}

interface IpLink {
  readonly ifname: string;
  readonly flags: readonly string[];
  readonly operstate: string;
}

/** snmpd.conf `interface NAME TYPE SPEED`: ethernetCsmacd at 1 Gb/s. */
const slowLines = (slow: readonly string[] | undefined, place: string): string[] =>
  (slow ?? [])
    .filter((name) => name.startsWith(`${place}/`))
    .map((name) => `interface ${name.slice(place.length + 1)} 6 1000000000`);

function startSwitch(place: LabSwitch, key: SwitchKey, variation: Variation): Promise<Running> {
  const { agents, lldp, slow } = variation;
  return startSwitchAgent(place, {
    lldp: lldp !== undefined,
    lines: slowLines(slow, place.name),
    // One VLAN a bridge where the whole bridge is one; the database has a number of its own.
    ...(key === 'loft' ? { vlan: 10, fdbId: 3 } : {}),
    ...agents?.[key],
  });
}

async function startController(
  host: LabHost,
  controller: 'A' | 'B',
  { lldp, slow, iscsi }: Variation,
  targets: Tgt[],
): Promise<void> {
  await startSnmpd(host, { sysName: host.name, lines: slowLines(slow, `vault-1/${controller}`) });
  if (lldp === 'everybody') await startLldpd(host);
  const own = DATA_NAMES.filter((name) => name.startsWith(`vault-1/${controller}/`));
  const addresses = own.map((name) => PLANNED[name].address);
  if (iscsi === 'tgt')
    targets.push(
      await startTgt(
        host,
        TARGET,
        addresses.map((address) => `${address}:3260`),
      ),
    );
  else if (iscsi !== undefined) {
    const script = path.join(PROJECT, 'tests/lab/support/tgt-lister.mjs');
    const what = JSON.stringify({ listen: addresses, name: TARGET, portals: iscsi.lists });
    await host.start(process.execPath, [script, what]).waitFor(/^ready$/m);
  }
}
