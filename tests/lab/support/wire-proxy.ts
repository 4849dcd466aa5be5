/** A router that answers ARP for everything behind it (RFC 1027), by the real Linux switch for it, on a network of its own. */
import { mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { Lab, type LabHost } from './lab.js';
import { startEquipment } from './services.js';
import { mac } from './wire-site-plan.js';

export const ROUTER_MAC = mac(0x71);
/** On this side, behind the router, and nowhere: planned devices. */
export const NEAR = '198.51.100.20';
export const BEHIND = '198.51.100.203';
export const NOWHERE = ['198.51.100.200', '198.51.100.201', '198.51.100.202'] as const;

export interface ProxySite {
  readonly lab: Lab;
  readonly laptop: LabHost;
  readonly planFile: string;
  /** Plans the near device alone: what answers elsewhere belongs to nobody. */
  readonly smallPlanFile: string;
}

export async function buildProxySite(): Promise<ProxySite> {
  const lab = new Lab();
  try {
    const [bench, beyond] = [await lab.addSwitch('bench'), await lab.addSwitch('beyond')];
    const laptop = await lab.addHost('laptop', [
      { switch: bench, name: 'eth0', addresses: ['198.51.100.5/24'] },
    ]);
    const near = await lab.addHost('near', [
      { switch: bench, name: 'eth0', mac: mac(0x72), addresses: [`${NEAR}/24`] },
    ]);
    const router = await lab.addHost('router', [
      { switch: bench, name: 'eth0', mac: ROUTER_MAC, addresses: ['198.51.100.1/25'] },
      { switch: beyond, name: 'eth1', mac: mac(0x73), addresses: ['198.51.100.129/25'] },
    ]);
    await router.must('sysctl', ['-q', '-w', 'net.ipv4.ip_forward=1', 'net.ipv4.conf.eth0.proxy_arp=1']);
    // Linux lets a random part of 0.8 s go by before it answers for others (proxy_delay, arp(7)); a router of the trade does not.
    await router.must('sysctl', ['-q', '-w', 'net.ipv4.neigh.eth0.proxy_delay=0']);
    const behind = await lab.addHost('behind', [
      { switch: beyond, name: 'eth0', mac: mac(0x74), addresses: [`${BEHIND}/25`] },
    ]);
    await behind.addRoute('default', '198.51.100.129');
    for (const host of [near, behind])
      await startEquipment(host, { web: [{ port: 80, title: `${host.name} console` }] });
    return { lab, laptop, ...writePlans(lab) };
  } catch (error) {
    await lab.remove();
    throw error;
  }
}

function writePlans(lab: Lab): Pick<ProxySite, 'planFile' | 'smallPlanFile'> {
  const folder = path.join(lab.folder, 'plan');
  mkdirSync(folder, { recursive: true });
  const write = (name: string, devices: readonly (readonly [string, string])[]): string => {
    const file = path.join(folder, name);
    writeFileSync(
      file,
      [
        'plan: 1',
        'site: { name: Harbour Library, reference: LAB-PROXY }',
        'networks:',
        '  - { name: data, cidr: 198.51.100.0/24, gateway: 198.51.100.1 }',
        'endpoints:',
        ...devices.map(
          ([device, address]) =>
            `  - { device: ${device}, port: data0, role: data, address: ${address}, services: http }`,
        ),
        '',
      ].join('\n'),
    );
    return file;
  };
  const near = ['near', NEAR] as const;
  return {
    planFile: write('proxy.yaml', [
      near,
      ['behind', BEHIND],
      ...NOWHERE.map((address, index) => [`nowhere-${index + 1}`, address] as const),
    ]),
    smallPlanFile: write('small.yaml', [near]),
  };
}
