/**
 * The whole program over links that lose packets at random, each way, ARP too: nobody who is there is called missing, who is not is. The
 * bulk of runs is tests/run/loss.test.ts, with simulated sockets.
 */
import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { rounds } from '../support/rounds.js';
import { Lab, type LabHost, labRefusal } from './support/lab.js';
import { programsRefusal, startEquipment } from './support/services.js';

const refusal = (await labRefusal()) ?? programsRefusal('nft', 'ping');
if (refusal !== undefined) console.warn(`SKIPPED: a check over links that lose packets: ${refusal}`);

const PORT = 3260;
const DEVICES = 3;
const addressesOf = (device: number): string[] => [1, 2].map((port) => `192.0.2.${10 * (device + 1) + port}`);
const NOBODY = '192.0.2.99';

function lossRules(percent: number): string {
  const chain = (hook: string): string =>
    `chain ${hook} {\ntype filter hook ${hook} priority 0;\nnumgen random mod 100 < ${percent} drop;\n}\n`;
  return ['arp', 'ip']
    .map((family) => `table ${family} lossy {\n${chain('input')}${chain('output')}}\n`)
    .join('');
}

describe.skipIf(refusal !== undefined)('a check over links that lose packets', () => {
  let lab: Lab;
  let laptop: LabHost;
  let plan: string;
  const devices: LabHost[] = [];

  beforeAll(async () => {
    lab = new Lab();
    const bench = await lab.addSwitch('loft-switch');
    laptop = await lab.addHost('laptop', [{ switch: bench, name: 'eth0', addresses: ['192.0.2.5/24'] }]);
    for (let at = 0; at < DEVICES; at += 1) {
      const addresses = addressesOf(at).map((address) => `${address}/24`);
      const host = await lab.addHost(`vault-${at + 1}`, [{ switch: bench, name: 'eth0', addresses }]);
      await startEquipment(host, { open: [PORT] });
      devices.push(host);
    }
    const rows = devices.flatMap((host, at) =>
      addressesOf(at).map((address, port) => `${host.name},p${port},${address},tcp/${PORT}`),
    );
    plan = path.join(lab.folder, 'plan.csv');
    const list = ['device,port,address,services', ...rows, `vault-9,p0,${NOBODY},tcp/${PORT}`];
    writeFileSync(plan, `${list.join('\n')}\n`);
  });
  afterAll(() => lab?.remove());

  it.each([0, 5, 20, 40])(
    'with %i in a hundred packets lost each way, nobody who is there is missing',
    async (percent) => {
      for (const host of devices) {
        await host.exec('nft', ['delete', 'table', 'arp', 'lossy']);
        await host.exec('nft', ['delete', 'table', 'ip', 'lossy']);
        if (percent > 0) await host.must('nft', ['-f', '-'], { input: lossRules(percent) });
      }
      for (let round = 0; round < rounds(1, 10); round += 1) {
        const out = path.join(lab.folder, `run-${percent}-${round}`);
        const ran = await laptop.matchmark(['check', plan, '--out', out, '--quiet']);
        expect(ran.exitCode).toBe(1);
        const { endpoints } = JSON.parse(readFileSync(path.join(out, 'matrix.json'), 'utf8')) as Matrix;
        const missing = endpoints.filter(({ verdict }) => verdict === 'missing');
        expect(missing.map(({ id }) => id)).toEqual(['vault-9/p0']);
      }
    },
  );
});
