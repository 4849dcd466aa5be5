/**
 * A device that is on the link with 31 addresses and drops everything but ARP: the line of the fault table (tests/probe/fault-table.test.ts)
 * that only a kernel can play. Without its bound the run took 31 s and named 31 jobs.
 */
import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { Lab, type LabHost, labRefusal } from './support/lab.js';
import { programsRefusal } from './support/services.js';

const refusal = (await labRefusal()) ?? programsRefusal('nft', 'ping');
if (refusal !== undefined) console.warn(`SKIPPED: a device that drops everything: ${refusal}`);

const ADDRESSES = Array.from({ length: 31 }, (_, at) => `192.0.2.${11 + at}`);
/** What one device may cost (DESIGN 5, issue 13), and the start of the program on a busy machine. */
const LIMIT_MS = 10_000 + 4_000;

describe.skipIf(refusal !== undefined)('a device with 31 addresses that drops all but ARP', () => {
  let lab: Lab;
  let laptop: LabHost;

  beforeAll(async () => {
    lab = new Lab();
    const bench = await lab.addSwitch('loft-switch');
    laptop = await lab.addHost('laptop', [{ switch: bench, name: 'eth0', addresses: ['192.0.2.5/24'] }]);
    const vault = await lab.addHost('vault-1', [{ switch: bench, name: 'eth0' }]);
    const lines = ADDRESSES.map((address) => `address add ${address}/24 dev eth0\n`);
    await vault.must('ip', ['-batch', '-'], { input: lines.join('') });
    await vault.must('nft', ['-f', '-'], {
      input: 'table ip closed {\nchain in {\ntype filter hook input priority 0;\npolicy drop;\n}\n}\n',
    });
    const ports = ADDRESSES.map(
      (address, at) =>
        `  - { device: vault-1, port: p${at}, address: ${address}, services: "https ssh snmp" }`,
    );
    writeFileSync(
      path.join(lab.folder, 'plan.yaml'),
      [
        'plan: 1',
        'devices:',
        '  - { name: vault-1, snmp: site-ro }',
        'endpoints:',
        ...ports,
        'snmp:',
        '  site-ro: { version: 2c, community: "env:SITE_SNMP" }',
        '',
      ].join('\n'),
    );
  });
  afterAll(() => lab?.remove());

  it('is one job after ten seconds at most, and nothing of it is called missing or silent that was not asked enough', async () => {
    const plan = path.join(lab.folder, 'plan.yaml');
    const startedAt = performance.now();
    const ran = await laptop.matchmark(
      ['check', plan, '--out', path.join(lab.folder, 'run'), '--json', '--quiet'],
      { env: { SITE_SNMP: 'lab-read' } },
    );
    const tookMs = performance.now() - startedAt;
    expect(ran.exitCode).toBe(1);
    const { endpoints, findings, outcome } = JSON.parse(ran.stdout) as Matrix;
    expect(tookMs).toBeLessThan(LIMIT_MS);
    expect(outcome?.jobs).toBe(1);
    expect(findings.find(({ follows }) => follows.length === 0)).toMatchObject({
      id: 'device-answers-nothing:vault-1',
      message: expect.stringContaining('31 addresses'),
    });
    expect(endpoints).toHaveLength(ADDRESSES.length);
    for (const { facts } of endpoints) {
      expect(facts.find(({ fact }) => fact === 'address')).toMatchObject({ state: 'matches' });
      const services = facts.filter(({ fact }) => fact === 'service');
      expect(services.map(({ state }) => state)).not.toContain('matches');
      expect(services.map(({ state }) => state)).not.toContain('missing');
      // Whichever had its whole time; the fullest of machines has time for some.
      for (const { state, cause } of services)
        if (state === 'unproven') expect(['not-asked', 'unprovable']).toContain(cause);
    }
    const silent = endpoints.flatMap(({ facts }) => facts.filter(({ cause }) => cause === 'silent'));
    expect(silent.length).toBeGreaterThan(31);
    console.info(`the check took ${(tookMs / 1000).toFixed(1)} s; ${silent.length} of 62 ports were sure`);
  });
});
