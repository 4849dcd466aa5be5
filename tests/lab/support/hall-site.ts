/** Sixty-four endpoints: eight arrays of two controllers with four ports each, four of which nobody has; a laptop in both networks. */
import { mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { Lab, type LabHost } from './lab.js';
import { makeCertificate, startEquipment } from './services.js';

export interface HallSite {
  readonly lab: Lab;
  readonly laptop: LabHost;
  readonly planFile: string;
  readonly planned: number;
  /** Those that somebody has, each with the host and the port whose cable it is. */
  readonly present: readonly { readonly id: string; readonly host: LabHost; readonly port: string }[];
}

const ARRAYS = 8;
const PORTS = ['mgmt', 'data0', 'data1', 'data2'] as const;
/** Planned and not there: the last port of these arrays' second controllers. */
const ABSENT = [2, 4, 6, 8];

export async function buildHallSite(): Promise<HallSite> {
  const lab = new Lab();
  try {
    return await buildIn(lab);
  } catch (error) {
    await lab.remove();
    throw error;
  }
}

async function buildIn(lab: Lab): Promise<HallSite> {
  const [mgmt, data] = [await lab.addSwitch('mgmt-switch'), await lab.addSwitch('data-switch')];
  const laptop = await lab.addHost('laptop', [
    { switch: mgmt, name: 'eth0', addresses: ['192.0.2.5/24'] },
    { switch: data, name: 'eth1', addresses: ['198.51.100.5/24'] },
  ]);
  const rows: string[] = [];
  const present: { id: string; host: LabHost; port: string }[] = [];
  for (let at = 0; at < ARRAYS * 2; at += 1) {
    const device = `vault-${Math.floor(at / 2) + 1}`;
    const controller = at % 2 === 0 ? 'A' : 'B';
    const last =
      controller === 'B' && ABSENT.includes(Math.floor(at / 2) + 1) ? PORTS.length - 1 : PORTS.length;
    const addressOf = (port: number): string =>
      port === 0 ? `192.0.2.${11 + at}` : `198.51.100.${10 + at * 3 + port}`;
    const host = await lab.addHost(
      `${device}-${controller.toLowerCase()}`,
      PORTS.slice(0, last).map((name, port) => ({
        switch: port === 0 ? mgmt : data,
        name,
        addresses: [`${addressOf(port)}/24`],
      })),
    );
    // Three ports in one network: each answers for itself alone.
    await host.must('sysctl', ['-qw', 'net.ipv4.conf.all.arp_ignore=1', 'net.ipv4.conf.all.arp_announce=2']);
    await startEquipment(host, {
      web: [{ port: 443, tls: await makeCertificate(lab, host.name), title: `${host.name} console` }],
      lines: [{ port: 22, line: 'SSH-2.0-Example_1.0' }],
      open: [3260],
    });
    for (const [port, name] of PORTS.entries()) {
      const [role, network, services] =
        port === 0 ? ['management', 'mgmt', 'https ssh'] : ['data', 'data', 'tcp/3260'];
      rows.push(`${device},${controller},${name},${role},${network},${addressOf(port)}/24,${services}`);
      if (port < last) present.push({ id: `${device}/${controller}/${name}`, host, port: name });
    }
  }
  const folder = path.join(lab.folder, 'plan');
  mkdirSync(folder);
  const planFile = path.join(folder, 'hall.csv');
  writeFileSync(planFile, `device,controller,port,role,network,address,services\n${rows.join('\n')}\n`);
  return { lab, laptop, planFile, planned: rows.length, present };
}
