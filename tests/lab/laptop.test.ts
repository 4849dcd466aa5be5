/** What happens to the laptop itself: another device has its address, its cable is out for a moment in mid-run. */
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { Lab, type LabHost, labRefusal } from './support/lab.js';
import { programsRefusal } from './support/services.js';

const refusal = (await labRefusal()) ?? programsRefusal('arping', 'ping', 'tcpdump');
if (refusal !== undefined) console.warn(`SKIPPED: the laptop itself in the lab: ${refusal}`);

/** A run each has an absent address of its own, so that no late question of the run before is taken for its first. */
const planWith = (absent: number): string => `plan: 1
site: { name: Bench }
networks:
  - { name: mgmt, cidr: 192.0.2.0/24 }
endpoints:
  - { device: vault-1, port: mgmt, address: 192.0.2.20 }
  - { device: vault-2, port: mgmt, address: 192.0.2.21 }
  - { device: vault-3, port: mgmt, address: 192.0.2.${absent} }
`;

describe.skipIf(refusal !== undefined)('the laptop itself', () => {
  let lab: Lab;
  let laptop: LabHost;
  let vault: LabHost;

  beforeAll(async () => {
    lab = new Lab();
    const bench = await lab.addSwitch('bench');
    laptop = await lab.addHost('laptop', [
      { switch: bench, name: 'eth0', mac: '00:00:5e:00:53:05', addresses: ['192.0.2.5/24'] },
    ]);
    for (const [name, last] of [
      ['vault-1', 20],
      ['vault-2', 21],
    ] as const)
      vault = await lab.addHost(name, [
        { switch: bench, name: 'eth0', mac: `00:00:5e:00:53:${last}`, addresses: [`192.0.2.${last}/24`] },
      ]);
    // Somebody's forgotten device.
    await lab.addHost('other', [
      { switch: bench, name: 'eth0', mac: '00:00:5e:00:53:77', addresses: ['192.0.2.5/24'] },
    ]);
  });
  afterAll(() => lab?.remove());

  const check = async (out: string, absent: number): Promise<Matrix> => {
    const plan = path.join(lab.folder, `${out}.yaml`);
    writeFileSync(plan, planWith(absent));
    const ran = await laptop.matchmark(['check', plan, '--out', path.join(lab.folder, out), '--json']);
    if (ran.stdout === '') throw new Error(`no result: exit ${ran.exitCode}: ${ran.stderr}`);
    return JSON.parse(ran.stdout) as Matrix;
  };
  const verdictOf = (matrix: Matrix, device: string) =>
    matrix.endpoints.find((endpoint) => endpoint.device === device)?.verdict;

  it('is told that another device has its address', async () => {
    const matrix = await check('own', 30);
    const [taken] = matrix.findings.filter(({ code }) => code === 'own-address-taken');
    expect(taken?.subject).toBe('192.0.2.5');
    expect(taken?.evidence.join(' ')).toContain('00:00:5e:00:53:77');
    // The absent one is absent all the same.
    expect(verdictOf(matrix, 'vault-3')).toBe('missing');
  });

  /** Takes the cable out as soon as the absent one is asked for, for so long or until the run has ended. */
  const checkWithCableOut = async (out: string, absent: number, awayMs?: number): Promise<Matrix> => {
    const args = ['-i', 'eth0', '-n', '-c', '1', `arp and host 192.0.2.${absent}`];
    const heard = vault.must('tcpdump', args, { timeoutMs: 30_000 });
    await sleep(1000);
    const running = check(out, absent);
    await heard;
    await laptop.linkUp('eth0', false);
    await (awayMs === undefined ? running.catch(() => {}) : sleep(awayMs));
    await laptop.linkUp('eth0', true);
    return running;
  };

  it('asks again when its cable was out for a moment, and says so', async () => {
    const matrix = await checkWithCableOut('bounce', 31, 900);
    // What was asked of those that are there while the cable was out is not counted against them.
    expect(['matches', 'unproven']).toContain(verdictOf(matrix, 'vault-1'));
    expect(['matches', 'unproven']).toContain(verdictOf(matrix, 'vault-2'));
    expect(verdictOf(matrix, 'vault-3')).toBe('missing');
    expect(JSON.stringify(matrix)).toMatch(/eth0 lost its link or its addresses, then came back/);
  });

  it('calls nobody missing while its cable stays out', async () => {
    const matrix = await checkWithCableOut('out', 32);
    expect(matrix.endpoints.filter(({ verdict }) => verdict === 'missing')).toEqual([]);
    expect(verdictOf(matrix, 'vault-3')).toBe('unproven');
    expect(JSON.stringify(matrix)).toMatch(/eth0 of this laptop lost its link or its address/);
  });
});
