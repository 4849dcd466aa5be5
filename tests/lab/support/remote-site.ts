/** A laptop on the management network; hosts on it and on a data network, on which a vault has two ports. Each host takes SSH, if a test says so. */
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import type { Matrix } from '../../../src/matrix/matrix.js';
import { Lab, type LabHost, type LabSwitch } from './lab.js';
import type { Ran } from './run.js';
import { startEquipment } from './services.js';
import { makeSshKeys, type SshKeys } from './ssh.js';

/** What a POSIX host has without Node. */
export const BARE = ['sh', 'bash', 'ip', 'ping', 'timeout', 'sed', 'fold', 'sleep', 'cat', 'uname', 'date'];

/** The MAC of the vault's first port, which all that look from elsewhere see. */
export const VAULT_MAC = '00:00:5e:00:53:12';

export interface RemoteHost {
  readonly host: LabHost;
  /** In the management network, where the laptop reaches it, and in the data network. */
  readonly mgmt: string;
  readonly data: string;
  /** A second address in the data network, for a further port. */
  readonly second: string;
}

export interface RemoteSite {
  readonly lab: Lab;
  readonly laptop: LabHost;
  readonly keys: SshKeys;
  /** Of management and of data. */
  readonly switches: readonly [LabSwitch, LabSwitch];
  readonly planFile: string;
  /** `PATH` with the user's own ssh. */
  readonly env: Readonly<Record<string, string>>;
  addHost(name: string): Promise<RemoteHost>;
  /** The check of the plan of the site, or of one that the first argument names. */
  check(...argv: string[]): Promise<{ readonly ran: Ran; readonly matrix: Matrix }>;
}

export async function buildRemoteSite(): Promise<RemoteSite> {
  const lab = new Lab();
  try {
    return await buildIn(lab);
  } catch (error) {
    await lab.remove();
    throw error;
  }
}

async function buildIn(lab: Lab): Promise<RemoteSite> {
  const switches = [await lab.addSwitch('mgmt-switch'), await lab.addSwitch('data-switch')] as const;
  const keys = await makeSshKeys(lab);
  const vault = await lab.addHost('vault-1', [
    { switch: switches[1], name: 'data0', mac: VAULT_MAC, mtu: 9000, addresses: ['198.51.100.101/25'] },
    {
      switch: switches[1],
      name: 'data1',
      mac: '00:00:5e:00:53:13',
      mtu: 1500,
      addresses: ['198.51.100.102/25'],
    },
  ]);
  // Two ports in one network: each answers for itself alone.
  await vault.must('sysctl', ['-qw', 'net.ipv4.conf.all.arp_ignore=1', 'net.ipv4.conf.all.arp_announce=2']);
  await startEquipment(vault, { web: [], lines: [{ port: 22, line: 'SSH-2.0-Example_1.0' }], open: [3260] });
  const laptop = await lab.addHost('laptop', [
    { switch: switches[0], name: 'eth0', addresses: ['192.0.2.5/24'] },
  ]);
  const planFile = path.join(lab.folder, 'list.csv');
  writeFileSync(
    planFile,
    [
      'device,controller,port,role,network,address,mtu,services',
      'vault-1,A,data0,data,data-a,198.51.100.101/25,9000,ssh tcp/3260',
      'vault-1,B,data1,data,data-a,198.51.100.102/25,9000,ssh tcp/3260',
      'vault-1,B,data2,data,data-a,198.51.100.103/25,9000,tcp/3260',
      '',
    ].join('\r\n'),
  );
  const env = { PATH: `${keys.bin}:${process.env.PATH}` };
  let hosts = 10;
  return {
    lab,
    laptop,
    keys,
    switches,
    planFile,
    env,
    async addHost(name) {
      hosts += 1;
      const [mgmt, data] = [`192.0.2.${hosts}`, `198.51.100.${hosts}`];
      const host = await lab.addHost(name, [
        { switch: switches[0], name: 'eth0', addresses: [`${mgmt}/24`] },
        { switch: switches[1], name: 'eth1', mtu: 9000, addresses: [`${data}/25`] },
      ]);
      return { host, mgmt, data, second: `198.51.100.${hosts + 50}` };
    },
    async check(...argv) {
      const out = path.join(lab.folder, `out-${Math.random().toString(36).slice(2)}`);
      const plan = argv[0]?.endsWith('.yaml') ? [] : [planFile];
      const ran = await laptop.matchmark(['check', ...plan, ...argv, '--json', '--out', out], {
        env,
        timeoutMs: 170_000,
      });
      if (ran.stdout === '') throw new Error(`no result: exit ${ran.exitCode}: ${ran.stderr}`);
      return { ran, matrix: JSON.parse(ran.stdout) as Matrix };
    },
  };
}

export const verdictsOf = ({ endpoints }: Matrix): string[] =>
  endpoints.map(({ id, verdict }) => `${id} ${verdict}`);
