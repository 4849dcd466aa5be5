/**
 * The site of the whole visit: an array of two controllers with iSCSI (tgt) and Fibre Channel, two Ethernet switches and two fabric switches
 * that tell their tables, two hosts of the customer that can be reached by SSH (one has no Node), one laptop. Cabled as `draft` wants it;
 * addresses are given when the test says so.
 */
import { Lab, type LabHost, type LabSwitch } from './lab.js';
import { chassisRows, ENTITY, FABRIC_ROOTS, fabricRows, type RowsAgent, rowsAgent } from './rows-agent.js';
import { must, type Running } from './run.js';
import { makeCertificate, startEquipment, startSnmpd } from './services.js';
import { makeSshKeys, pathWith, type SshKeys, startSshd } from './ssh.js';
import { startSwitchAgent } from './switch-agent.js';
import { startTgt, type Tgt } from './tgt.js';

export type Side = 'A' | 'B';
const SIDES = ['A', 'B'] as const;
export const VISIT_ENV = { SITE_SNMP: 'lab-read' } as const;
export const DEFAULT_ADDRESS = '192.0.2.200';

/** As `draft` gives them out for the equipment of visit.test.ts. */
const ADDRESSES: Readonly<Record<Side, Readonly<Record<'mgmt' | 'data0' | 'data1', string>>>> = {
  A: { mgmt: '192.0.2.10/24', data0: '198.51.100.1/25', data1: '198.51.100.129/25' },
  B: { mgmt: '192.0.2.11/24', data0: '198.51.100.2/25', data1: '198.51.100.130/25' },
};
export const WWPN: Readonly<Record<string, string>> = {
  'A/fc0': '50:00:00:00:5e:00:53:a0',
  'A/fc1': '50:00:00:00:5e:00:53:a1',
  'B/fc0': '50:00:00:00:5e:00:53:b0',
  'B/fc1': '50:00:00:00:5e:00:53:b1',
};

export interface VisitSite {
  readonly lab: Lab;
  readonly laptop: LabHost;
  readonly switches: readonly [LabSwitch, LabSwitch];
  readonly controllers: Readonly<Record<Side, LabHost>>;
  readonly keys: SshKeys;
  /** Controller A comes up at its default address; nothing else of the array is there. */
  powerOn(): Promise<void>;
  /** Everything at its planned address, services started. */
  configure(): Promise<void>;
  /** The laptop's second port in data-b. */
  plugLaptopIn(): Promise<void>;
  /** The cable of A's data1 in another hole of the same switch, and controller B exchanged for another. */
  aYearLater(): Promise<void>;
  remove(): Promise<void>;
}

export async function buildVisitSite(): Promise<VisitSite> {
  const lab = new Lab();
  const targets: Tgt[] = [];
  const remove = async (): Promise<void> => {
    await Promise.all(targets.map((target) => target.stop()));
    await lab.remove();
  };
  try {
    return { ...(await buildIn(lab, targets)), remove };
  } catch (error) {
    await remove();
    throw error;
  }
}

async function buildIn(lab: Lab, targets: Tgt[]): Promise<Omit<VisitSite, 'remove'>> {
  const switches = [await lab.addSwitch('loft-switch-1'), await lab.addSwitch('loft-switch-2')] as const;
  await join(...switches);
  const [near, far] = switches;
  await addEmptyPort(near, 'port7');
  let running: readonly Running[] = [];
  const laptop = await lab.addHost('laptop', [
    { switch: near, name: 'eth0', port: 'port12', addresses: ['192.0.2.5/24'] },
  ]);
  const keys = await makeSshKeys(lab);
  const controllers = {
    A: await addController(lab, near, 'A'),
    B: await addController(lab, far, 'B'),
  };
  const agents = Object.fromEntries(
    SIDES.map((side) => [side, rowsAgent(controllers[side], [ENTITY], chassisRows(`EX-${side}-1`, '4.1'))]),
  ) as Record<Side, RowsAgent>;
  return {
    ...{ lab, laptop, switches, controllers, keys },
    powerOn: async () => {
      await controllers.A.addAddress('mgmt', `${DEFAULT_ADDRESS}/24`);
      running = await startAgents(lab, switches);
    },
    configure: async () => {
      await controllers.A.removeAddress('mgmt', `${DEFAULT_ADDRESS}/24`);
      for (const side of SIDES) {
        for (const port of ['mgmt', 'data0', 'data1'] as const)
          await controllers[side].addAddress(port, ADDRESSES[side][port]);
        targets.push(await startController(lab, controllers[side], side, agents[side]));
      }
      await addHosts(lab, switches, keys);
    },
    plugLaptopIn: () =>
      lab.cable(laptop, { switch: far, name: 'eth1', port: 'port6', addresses: ['198.51.100.140/25'] }),
    aYearLater: async () => {
      await exchangePorts(near, 'port3', 'port7');
      // An agent keeps its names of ports for a while; a year is longer.
      await running[0]?.stop();
      await startSwitchAgent(near);
      agents.B.set(chassisRows('EX-B-2', '4.2'));
    },
  };
}

async function join(a: LabSwitch, b: LabSwitch): Promise<void> {
  await must('ip', [
    ...['link', 'add', 'port11', 'netns', a.namespace, 'type', 'veth'],
    ...['peer', 'name', 'port11', 'netns', b.namespace],
  ]);
  for (const [index, { namespace, bridge }] of [a, b].entries()) {
    await must('ip', ['-n', namespace, 'link', 'set', 'port11', 'mtu', '9000', 'master', bridge, 'up']);
    // A bridge takes the MAC of one of its ports unless it has its own.
    const mac = `00:00:5e:00:53:c${index + 1}`;
    await must('ip', ['-n', namespace, 'link', 'set', bridge, 'address', mac]);
  }
}

async function addController(lab: Lab, at: LabSwitch, side: Side): Promise<LabHost> {
  const host = await lab.addHost(
    `vault-1-${side.toLowerCase()}`,
    (['mgmt', 'data0', 'data1'] as const).map((name, index) => ({
      ...{ switch: at, name, port: `port${index + 1}` },
      mac: `00:00:5e:00:53:${side.toLowerCase()}${index}`,
    })),
  );
  // Three ports on one wire: each answers for itself alone.
  await host.must('sysctl', ['-qw', 'net.ipv4.conf.all.arp_ignore=1', 'net.ipv4.conf.all.arp_announce=2']);
  return host;
}

async function startController(lab: Lab, host: LabHost, side: Side, agent: RowsAgent): Promise<Tgt> {
  const tls = await makeCertificate(lab, `${host.name}.example`);
  await startEquipment(host, {
    web: [{ port: 443, tls, title: `${host.name} console`, server: 'example-mgmt/2' }],
    lines: [{ port: 22, line: 'SSH-2.0-Example_1.0' }],
  });
  await startSnmpd(host, { sysName: host.name, lines: agent.lines });
  const portals = (['data0', 'data1'] as const).map((port) => `${ADDRESSES[side][port].split('/')[0]}:3260`);
  return startTgt(host, 'iqn.2001-04.com.example:vault-1', portals);
}

/** The switches tell their tables; the fabric switches tell who is logged in. */
async function startAgents(lab: Lab, switches: VisitSite['switches']): Promise<readonly Running[]> {
  const running: Running[] = [];
  for (const [index, place] of switches.entries()) {
    await must('ip', [
      '-n',
      place.namespace,
      'address',
      'add',
      `192.0.2.${12 + index}/24`,
      'dev',
      place.bridge,
    ]);
    running.push(await startSwitchAgent(place));
  }
  for (const [index, letter] of ['a', 'b'].entries()) {
    const host = await lab.addHost(`fabric-switch-${letter}-1`, [
      {
        ...{ switch: switches[0], name: 'mgmt', port: `port${9 + index}`, mac: `00:00:5e:00:53:f${index}` },
        addresses: [`192.0.2.${14 + index}/24`],
      },
    ]);
    const logins = SIDES.map((side) => WWPN[`${side}/fc${index}`]);
    const rows = fabricRows(`10:00:00:00:5e:00:53:f${index}`, [...logins, undefined]);
    await startSnmpd(host, {
      sysName: host.name,
      lines: rowsAgent(host, FABRIC_ROOTS, rows).lines,
      without: ['interfaces', 'ifTable', 'ifXTable'],
    });
  }
  return running;
}

/** What a POSIX host has without Node. */
const BARE = ['sh', 'bash', 'ip', 'ping', 'timeout', 'sed', 'fold', 'sleep', 'cat', 'uname', 'date'];

/** Hosts of the customer: press-1 on data-a with Node, press-2 on data-b without. */
async function addHosts(lab: Lab, switches: VisitSite['switches'], keys: SshKeys): Promise<void> {
  for (const [index, data] of ['198.51.100.20/25', '198.51.100.150/25'].entries()) {
    const host = await lab.addHost(`press-${index + 1}`, [
      {
        switch: switches[index] ?? switches[0],
        name: 'eth0',
        port: 'port4',
        addresses: [`192.0.2.${30 + index}/24`],
      },
      { switch: switches[index] ?? switches[0], name: 'eth1', port: 'port5', addresses: [data] },
    ]);
    await host.must('sysctl', ['-qw', 'net.ipv4.conf.all.arp_ignore=1', 'net.ipv4.conf.all.arp_announce=2']);
    await startSshd(host, keys, index === 0 ? {} : { path: pathWith(lab, 'press-2', BARE) });
  }
}

/** A port of the switch that no cable is in. */
async function addEmptyPort({ namespace, bridge }: LabSwitch, port: string): Promise<void> {
  const link = (...args: string[]) => must('ip', ['-n', namespace, 'link', ...args]);
  await link('add', port, 'type', 'veth', 'peer', 'name', `${port}-end`);
  await link('set', port, 'mtu', '9000', 'master', bridge, 'up');
}

/** What was in the first port is in the second, and the other way round. */
async function exchangePorts({ namespace }: LabSwitch, first: string, second: string): Promise<void> {
  const link = (...args: string[]) => must('ip', ['-n', namespace, 'link', 'set', ...args]);
  for (const port of [first, second]) await link(port, 'down');
  await link(first, 'name', 'on-the-way');
  await link(second, 'name', first);
  await link('on-the-way', 'name', second);
  for (const port of [first, second]) await link(port, 'up');
}
