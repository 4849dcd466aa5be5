/**
 * Sixteen endpoints on four controllers with real HTTPS and SNMP agents; and eight with SSH planned, which one drops, and one of which is
 * absent.
 */
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { Lab, type LabHost, type LabSwitch } from '../lab/support/lab.js';
import { makeCertificate, startEquipment, startSnmpd } from '../lab/support/services.js';

export interface SmallSite {
  readonly lab: Lab;
  readonly laptop: LabHost;
  /** All sixteen, all healthy. */
  readonly healthy: string;
  /** The first seven, and one that nobody has; at one of them whatever comes for SSH is dropped. */
  readonly silentPort: string;
}

const CONTROLLERS = ['vault-1-a', 'vault-1-b', 'vault-2-a', 'vault-2-b'] as const;
const PORTS_EACH = 4;
const SSH = 22;

const addressesOf = (at: number): string[] =>
  Array.from({ length: PORTS_EACH }, (_, port) => `192.0.2.${11 + at * PORTS_EACH + port}`);

export async function buildSmallSite(): Promise<SmallSite> {
  const lab = new Lab();
  try {
    const bench = await lab.addSwitch('loft-switch');
    const laptop = await lab.addHost('laptop', [
      { switch: bench, name: 'eth0', addresses: ['192.0.2.5/24'] },
    ]);
    await Promise.all(CONTROLLERS.map((name, at) => addController(lab, bench, name, at)));
    return {
      lab,
      laptop,
      healthy: writePlan(lab, 'healthy', 4, 'https snmp'),
      silentPort: writePlan(lab, 'silent-port', 2, 'https ssh', true),
    };
  } catch (error) {
    await lab.remove();
    throw error;
  }
}

async function addController(lab: Lab, bench: LabSwitch, name: string, at: number): Promise<void> {
  const addresses = addressesOf(at).map((address) => `${address}/24`);
  const host = await lab.addHost(name, [{ switch: bench, name: 'eth0', addresses }]);
  const tls = await makeCertificate(lab, name);
  const lines = [{ port: SSH, line: 'SSH-2.0-Example' }];
  await startEquipment(host, { web: [{ port: 443, tls, title: name }], lines });
  await startSnmpd(host, { sysName: name });
  if (at !== 0) return;
  const silent = addressesOf(at)[0];
  const rules = `table ip quiet { chain in { type filter hook input priority 0; ip daddr ${silent} tcp dport ${SSH} drop; }; }`;
  await host.must('nft', ['-f', '-'], { input: rules });
}

const NOBODY = '192.0.2.99';

function writePlan(lab: Lab, name: string, controllers: number, services: string, absent = false): string {
  const endpoints = CONTROLLERS.slice(0, controllers).flatMap((controller, at) =>
    addressesOf(at)
      .map((own, port) => (absent && at === 1 && port === 3 ? NOBODY : own))
      .map(
        (address, port) =>
          `  - { device: ${controller.slice(0, -2)}, controller: ${controller.endsWith('a') ? 'A' : 'B'}, port: p${port}, role: management, network: mgmt, address: ${address}, services: ${services}, snmp: lab }`,
      ),
  );
  const file = path.join(lab.folder, `${name}.yaml`);
  writeFileSync(
    file,
    [
      'plan: 1',
      'site: { name: Bench }',
      'networks:',
      '  - { name: mgmt, cidr: 192.0.2.0/24 }',
      'snmp: { lab: { version: 2c, community: "env:LAB_SNMP" } }',
      'endpoints:',
      ...endpoints,
      '',
    ].join('\n'),
  );
  return file;
}
