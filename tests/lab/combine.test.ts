import { writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { Lab, type LabHost, labRefusal } from './support/lab.js';
import { programsRefusal, startEquipment } from './support/services.js';

const refusal = (await labRefusal()) ?? programsRefusal('ping');
if (refusal !== undefined) console.warn(`SKIPPED: combining two vantages in the lab: ${refusal}`);

/** One device with a port on each of two networks that no router joins, and a laptop on each. */
describe.skipIf(refusal !== undefined)('two laptops on two networks', () => {
  let lab: Lab;
  let laptops: readonly [LabHost, LabHost];
  beforeAll(async () => {
    lab = new Lab();
    const [mgmt, data] = [await lab.addSwitch('loft-switch'), await lab.addSwitch('data-switch-a')];
    const vault = await lab.addHost('vault-1', [
      { switch: mgmt, name: 'mgmt', mac: '00:00:5e:00:53:11', addresses: ['192.0.2.11/24'] },
      { switch: data, name: 'data0', mac: '00:00:5e:00:53:12', addresses: ['198.51.100.11/25'] },
    ]);
    await startEquipment(vault, {
      web: [],
      lines: [{ port: 22, line: 'SSH-2.0-Example_1.0' }],
      open: [3260],
    });
    laptops = [
      await lab.addHost('hall', [{ switch: mgmt, name: 'eth0', addresses: ['192.0.2.5/24'] }]),
      await lab.addHost('rack', [{ switch: data, name: 'eth0', addresses: ['198.51.100.5/25'] }]),
    ];
    writeFileSync(
      path.join(lab.folder, 'list.csv'),
      [
        'device,controller,port,role,network,address,services',
        'vault-1,A,mgmt,management,mgmt,192.0.2.11/24,ssh',
        'vault-1,A,data0,data,data-a,198.51.100.11/25,tcp/3260',
        'vault-1,A,data1,data,data-a,198.51.100.12/25,tcp/3260',
        '',
      ].join('\r\n'),
    );
  });
  afterAll(() => lab?.remove());

  async function matrixOf(laptop: LabHost, ...argv: string[]): Promise<Matrix> {
    const ran = await laptop.matchmark([...argv, '--json']);
    if (ran.stdout === '') throw new Error(`no result: exit ${ran.exitCode}: ${ran.stderr}`);
    return JSON.parse(ran.stdout) as Matrix;
  }
  const verdicts = ({ endpoints }: Matrix) => endpoints.map(({ id, verdict }) => `${id} ${verdict}`);

  it('each proves its own half; together they prove all, and what is not there is missing', async () => {
    const list = path.join(lab.folder, 'list.csv');
    const [hall, rack] = ['from-hall', 'from-rack'].map((name) => path.join(lab.folder, name)) as [
      string,
      string,
    ];
    const fromHall = await matrixOf(laptops[0], 'check', list, '--vantage', 'hall', '--out', hall);
    const fromRack = await matrixOf(laptops[1], 'check', list, '--vantage', 'rack', '--out', rack);
    expect(verdicts(fromHall)).toEqual([
      'vault-1/A/mgmt matches',
      'vault-1/A/data0 unproven',
      'vault-1/A/data1 unproven',
    ]);
    expect(verdicts(fromRack)).toEqual([
      'vault-1/A/mgmt unproven',
      'vault-1/A/data0 matches',
      'vault-1/A/data1 missing',
    ]);
    const both = await matrixOf(laptops[0], 'combine', rack, hall, '--out', path.join(lab.folder, 'both'));
    expect(verdicts(both)).toEqual([
      'vault-1/A/mgmt matches',
      'vault-1/A/data0 matches',
      'vault-1/A/data1 missing',
    ]);
    expect(both.vantages.map(({ name }) => name)).toEqual(['hall', 'rack']);
    // What each laptop saw is in the combination as it was in its own run.
    for (const one of [fromHall, fromRack])
      for (const endpoint of one.endpoints)
        expect(both.endpoints.find(({ id }) => id === endpoint.id)?.sightings).toEqual(
          expect.arrayContaining(
            endpoint.sightings.map(({ vantage, macs, icmp }) =>
              expect.objectContaining({ vantage, macs, icmp }),
            ),
          ),
        );
  });
});
