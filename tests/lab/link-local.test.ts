/**
 * Devices that are planned with link-local addresses of IPv6, on a laptop with two ports: every question names the port, and where the port
 * is not known nothing is asked (RFC 4007 §6 and §11).
 */
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { Lab, type LabHost, labRefusal } from './support/lab.js';
import { makeCertificate, programsRefusal, startEquipment, startSnmpd } from './support/services.js';

const refusal = (await labRefusal()) ?? programsRefusal('ping', 'snmpd', 'openssl');
if (refusal !== undefined) console.warn(`SKIPPED: link-local addresses in the lab: ${refusal}`);

const VAULT = 'fe80::20';
const PLAN = `plan: 1
site: { name: Bench }
networks:
  - { name: mgmt, cidr: 2001:db8:0:10::/64 }
snmp: { site-ro: { version: 2c, community: lab-read } }
devices:
  - { name: vault-1, snmp: site-ro }
endpoints:
  - { device: vault-1, port: mgmt, role: management, address: '${VAULT}', NETWORK services: https ssh snmp }
  - { device: vault-2, port: mgmt, role: management, address: 'fe80::21', NETWORK services: https }
`;

describe.skipIf(refusal !== undefined)('link-local addresses', () => {
  let lab: Lab;
  let laptop: LabHost;

  beforeAll(async () => {
    lab = new Lab();
    const [bench, other] = [await lab.addSwitch('bench'), await lab.addSwitch('other')];
    laptop = await lab.addHost('laptop', [
      // The first port is the wrong one.
      { switch: other, name: 'eth0', addresses: ['2001:db8:0:20::5/64', 'fe80::5/64'] },
      { switch: bench, name: 'eth1', addresses: ['2001:db8:0:10::5/64', 'fe80::6/64'] },
    ]);
    const vault = await lab.addHost('vault-1', [
      { switch: bench, name: 'eth0', mac: '00:00:5e:00:53:20', addresses: [`${VAULT}/64`] },
    ]);
    await startSnmpd(vault, { sysName: 'vault-1' });
    const tls = await makeCertificate(lab, 'vault-1');
    await startEquipment(vault, {
      web: [{ port: 443, tls, title: 'vault-1', address: '::' }],
      lines: [{ port: 22, line: 'SSH-2.0-lab', address: '::' }],
    });
  });
  afterAll(() => lab?.remove());

  const check = async (out: string, network: string): Promise<Matrix> => {
    const plan = path.join(lab.folder, `${out}.yaml`);
    writeFileSync(plan, PLAN.replaceAll('NETWORK', network));
    const ran = await laptop.matchmark(['check', plan, '--out', path.join(lab.folder, out), '--json']);
    if (ran.stdout === '') throw new Error(`no result: exit ${ran.exitCode}: ${ran.stderr}`);
    return JSON.parse(ran.stdout) as Matrix;
  };

  it('are asked by the port of their network: echo, connections, HTTPS and SNMP', async () => {
    const [there, gone] = (await check('known', 'network: mgmt,')).endpoints;
    const [seen] = there?.sightings ?? [];
    expect(seen).toMatchObject({ reach: 'on-link', interface: 'eth1' });
    expect(seen?.presence).toMatchObject({ outcome: 'claimed', macs: ['00:00:5e:00:53:20'] });
    expect(seen?.icmp.outcome).toBe('replied');
    expect(seen?.proofs.map(({ service, outcome }) => [service, outcome])).toEqual([
      ['https', 'proven'],
      ['ssh', 'proven'],
      ['snmp', 'proven'],
    ]);
    expect(seen?.identity.snmp?.sysName).toBe('vault-1');
    // The planned text, nowhere the laptop's name of its port.
    expect(JSON.stringify(there)).not.toContain(`${VAULT}%`);
    expect(gone?.verdict).toBe('missing');
  });

  it('are unproven where two ports could lead there, and it is said why and what helps', async () => {
    const { endpoints } = await check('unknown', '');
    for (const { verdict, sightings } of endpoints) {
      expect(verdict).toBe('unproven');
      expect(sightings[0]).toMatchObject({
        reach: 'no-route',
        reachReason: expect.stringContaining('eth0 and eth1'),
        icmp: { outcome: 'not-run', cause: 'port-unknown' },
      });
    }
    await laptop.linkUp('eth0', false);
    const again = await check('alone', '');
    await laptop.linkUp('eth0', true);
    expect(again.endpoints.map(({ verdict }) => verdict)).toEqual(['matches', 'missing']);
  });
});
