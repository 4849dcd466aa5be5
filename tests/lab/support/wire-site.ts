/** One bench of devices that claim addresses in every way a site has seen: see wire-site-plan.ts for who should be where. */
import path from 'node:path';
import { startResponder } from '../presence-runner.js';
import { Lab, type LabHost, type LabSwitch, PROJECT } from './lab.js';
import { type Equipment, makeCertificate, startEquipment, startSnmpd } from './services.js';
import { startLldpd } from './switch-agent.js';
import {
  AT,
  GATEWAY,
  LAPTOP,
  mac,
  routerMac,
  STRANGERS,
  SWAPPED,
  type Swapped,
  uuidOf,
  writeWirePlan,
} from './wire-site-plan.js';

export interface WireSite {
  readonly lab: Lab;
  readonly bench: LabSwitch;
  readonly laptop: LabHost;
  /** Answered once, and was unplugged. */
  readonly dead: LabHost;
  readonly planFile: string;
}

export async function buildWireSite(): Promise<WireSite> {
  const lab = new Lab();
  try {
    const bench = await lab.addSwitch('loft-switch');
    const laptop = await lab.addHost('laptop', [
      { switch: bench, name: 'eth0', port: 'port-laptop', addresses: [`${LAPTOP}/24`, '2001:db8::5/64'] },
    ]);
    // A laptop's user may ping (the default of every desktop distribution; a new namespace starts with nobody allowed).
    await laptop.must('sysctl', ['-q', '-w', 'net.ipv4.ping_group_range=0 2147483647']);
    const plain = (name: string, last: number, ...addresses: readonly string[]): Promise<LabHost> =>
      lab.addHost(name, [{ switch: bench, name: 'eth0', mac: mac(last), addresses }]);
    await plain('alone', 10, `${AT.single}/24`);
    await plain('edge', 1, `${GATEWAY}/24`);
    await plain('both-1', 0x61, `${AT.both}/24`, `${AT.sixBoth}/64`);
    await plain('both-2', 0x62, `${AT.both}/24`, `${AT.sixBoth}/64`);
    await plain('late-1', 0x63, `${AT.late}/24`);
    await plain('six-there', 0x64, `${AT.six}/64`);
    const dead = await plain('dead', 0x65, `${AT.dead}/24`);
    await plain('printer', 0x6b, ...STRANGERS.map((address) => `${address}/24`));
    await claimant(lab, bench, 'late-2', AT.late, mac(0x66), { delayMs: 450 });
    await claimant(lab, bench, 'turns-1', AT.turns, mac(0x67), { turn: 'odd' });
    await claimant(lab, bench, 'turns-2', AT.turns, mac(0x68), { turn: 'even' });
    await lab.addHost('router', [
      { switch: bench, name: 'eth0', mac: routerMac(10), addresses: [`${AT.router}/24`] },
    ]);
    await relayedRouter(lab, bench);
    await movingPair(lab, bench);
    for (const device of Object.keys(SWAPPED) as Swapped[]) await swappedDevice(lab, bench, device);
    return { lab, bench, laptop, dead, planFile: writeWirePlan(lab) };
  } catch (error) {
    await lab.remove();
    throw error;
  }
}

/** A device that speaks by its responder alone; its port has a MAC of its own, or the switch would be confused. */
async function claimant(
  lab: Lab,
  bench: LabSwitch,
  name: string,
  address: string,
  claimed: string,
  how: Parameters<typeof startResponder>[4],
): Promise<void> {
  const own = claimed.replace(/^00/, '02');
  const host = await lab.addHost(name, [{ switch: bench, name: 'eth0', mac: own }]);
  await startResponder(host, 'eth0', address, claimed, how);
}

/** A VRRP router whose answers name the virtual MAC in frames of its physical port (RFC 9568 §8.1.2). */
async function relayedRouter(lab: Lab, bench: LabSwitch): Promise<void> {
  const host = await lab.addHost('relayed', [
    { switch: bench, name: 'eth0', mac: mac(0x69) },
    { switch: bench, name: 'eth1', mac: routerMac(11), addresses: [`${AT.relayed}/24`] },
  ]);
  // The kernel keeps quiet; the responder answers for it.
  for (const nic of ['eth0', 'eth1'])
    await host.must('sysctl', ['-q', '-w', `net.ipv4.conf.${nic}.arp_ignore=8`]);
  const script = path.join(PROJECT, 'tests/lab/support/wire-site-router.py');
  const running = host.start('python3', [script, 'eth0', AT.relayed, routerMac(11)]);
  await running.waitFor(/^ready$/m);
}

/** Two controllers that hand one address to each other all the time, announcing it as arrays do (RFC 5227 §3). */
async function movingPair(lab: Lab, bench: LabSwitch): Promise<void> {
  const pair = [];
  for (const [name, last] of [
    ['pair-a', 17],
    ['pair-b', 18],
  ] as const) {
    const host = await lab.addHost(name, [
      { switch: bench, name: 'eth0', mac: mac(last), addresses: [`192.0.2.${last}/24`] },
    ]);
    await startEquipment(host, { web: [{ port: 80, title: `${name} console` }] });
    pair.push(host);
  }
  const [a, b] = pair.map((host) => host.namespace);
  const loop = `while :; do
    ip -n ${a} address add ${AT.moving}/24 dev eth0; ip netns exec ${a} arping -q -c 1 -A -I eth0 ${AT.moving}; echo moved
    sleep 0.6; ip -n ${a} address del ${AT.moving}/24 dev eth0
    ip -n ${b} address add ${AT.moving}/24 dev eth0; ip netns exec ${b} arping -q -c 1 -A -I eth0 ${AT.moving}
    sleep 0.6; ip -n ${b} address del ${AT.moving}/24 dev eth0
  done`;
  const [first] = pair;
  await first?.start('sh', ['-c', loop]).waitFor(/moved/);
}

/** Controller A holds B's address and the other way round. */
async function swappedDevice(lab: Lab, bench: LabSwitch, device: Swapped): Promise<void> {
  const [a, b] = SWAPPED[device];
  for (const [name, own, at] of [
    [`${device}-a`, a, b],
    [`${device}-b`, b, a],
  ] as const) {
    const host = await lab.addHost(name, [
      { switch: bench, name: 'eth0', mac: mac(own), addresses: [`192.0.2.${at}/24`] },
    ]);
    if (device === 'by-sysname') await startSnmpd(host, { sysName: name });
    else if (device !== 'by-mac') await startEquipment(host, await equipmentOf(lab, device, name, own));
  }
}

async function equipmentOf(lab: Lab, device: Swapped, name: string, own: number): Promise<Equipment> {
  if (device === 'by-ssh') return { lines: [{ port: 22, line: `SSH-2.0-Example_${name}` }] };
  // The Redfish pair shares one certificate name, as devices with a maker's certificate do.
  const tls = await makeCertificate(lab, device === 'by-uuid' ? `console-${own}` : `${name}.example`);
  const root = JSON.stringify({
    '@odata.type': '#ServiceRoot.v1_5_0.ServiceRoot',
    '@odata.id': '/redfish/v1/',
    Id: 'RootService',
    Name: 'Root Service',
    RedfishVersion: '1.6.0',
    UUID: uuidOf(own),
  });
  const pages = device === 'by-uuid' ? { '/redfish/v1/': root, '/redfish/v1': root } : {};
  return { web: [{ port: 443, tls, title: 'console', pages }] };
}

/** The switch speaks LLDP once a second; resolves when the laptop's port has been spoken to. */
export async function startLldp({ bench, laptop }: WireSite): Promise<void> {
  await startLldpd(bench, ['-I', 'port-laptop']);
  await laptop.must('tcpdump', ['-i', 'eth0', '-c', '1', '-w', '/dev/null', 'ether proto 0x88cc']);
}
