/** `follow --from`: a cable that the laptop cannot see, followed from a host that can, over a real sshd. */
import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { Lab, type LabHost, labRefusal, PROJECT } from './support/lab.js';
import type { Running } from './support/run.js';
import { programsRefusal, startEquipment } from './support/services.js';
import { makeSshKeys, type SshKeys, startSshd } from './support/ssh.js';

const refusal = (await labRefusal()) ?? programsRefusal('ping', 'ssh', 'sshd', 'ssh-keygen');
if (refusal !== undefined) console.warn(`SKIPPED: following from elsewhere in the lab: ${refusal}`);

/** A look from there is a whole one, and one look more may be under way. */
const A_LOOK_MS = 60_000;

describe.skipIf(refusal !== undefined)(
  'matchmark follow --from a host that the laptop reaches by SSH',
  () => {
    let lab: Lab;
    let laptop: LabHost;
    let vault: LabHost;
    let keys: SshKeys;
    beforeAll(async () => {
      lab = new Lab();
      const [mgmt, data] = [await lab.addSwitch('mgmt-switch'), await lab.addSwitch('data-switch')];
      keys = await makeSshKeys(lab);
      vault = await lab.addHost('vault-1', [
        { switch: data, name: 'data0', addresses: ['198.51.100.101/25'] },
        { switch: mgmt, name: 'mgmt', addresses: ['192.0.2.101/24'] },
      ]);
      await startEquipment(vault, { web: [], open: [3260, 8443] });
      const press = await lab.addHost('press-1', [
        { switch: mgmt, name: 'eth0', addresses: ['192.0.2.11/24'] },
        { switch: data, name: 'eth1', addresses: ['198.51.100.11/25'] },
      ]);
      await startSshd(press, keys);
      laptop = await lab.addHost('laptop', [{ switch: mgmt, name: 'eth0', addresses: ['192.0.2.5/24'] }]);
      writeFileSync(
        path.join(lab.folder, 'list.csv'),
        [
          'device,controller,port,role,network,address,services',
          'vault-1,A,mgmt,management,mgmt,192.0.2.101/24,tcp/8443',
          'vault-1,A,data0,data,data-a,198.51.100.101/25,tcp/3260',
          '',
        ].join('\r\n'),
      );
    });
    afterAll(() => lab?.remove());

    const begin = (out: string, ...more: string[]): Running =>
      laptop.start(
        process.execPath,
        [
          ...[path.join(PROJECT, 'bin/matchmark.js'), 'follow', path.join(lab.folder, 'list.csv')],
          ...['--from', 'ssh://root@192.0.2.11', '--interval', '1', '--out', out, ...more],
        ],
        { env: { PATH: `${keys.bin}:${process.env.PATH}` } },
      );
    const ended = async (running: Running): Promise<number | null> => {
      const closed = new Promise<number | null>((resolve) => running.child.on('close', resolve));
      running.child.stdin?.write('q\n');
      return running.child.exitCode ?? closed;
    };

    it.each([
      ['beside the laptop', []],
      ['with the laptop left out', ['--only-from']],
    ])('names a cable that is pulled and plugged where the laptop is not, %s', async (name, more) => {
      const out = path.join(lab.folder, name);
      const running = begin(out, ...more);
      await running.waitFor(/First look: 2 as planned/, A_LOOK_MS);
      await vault.linkUp('data0', false);
      const pulledAt = performance.now();
      await running.waitFor(/vault-1\/A\/data0: was matches, now missing/, A_LOOK_MS);
      const goneMs = performance.now() - pulledAt;
      await vault.linkUp('data0', true);
      const pluggedAt = performance.now();
      await running.waitFor(/vault-1\/A\/data0: was missing, now matches\n/, A_LOOK_MS);
      console.info(
        `${name}: gone was told after ${goneMs.toFixed(0)} ms, back after ${(performance.now() - pluggedAt).toFixed(0)} ms`,
      );
      expect(await ended(running)).toBe(0);
      // Nobody else is talked about but the port that was pulled.
      const told = running.output().match(/^\d\d:\d\d:\d\d {2}\S+/gm) ?? [];
      expect([...new Set(told.map((line) => line.slice(10)))]).toEqual(['vault-1/A/data0:']);
      const matrix = JSON.parse(readFileSync(path.join(out, 'matrix.json'), 'utf8')) as Matrix;
      expect(matrix.summary).toMatchObject({ matches: 2, missing: 0 });
      expect(matrix.vantages.map(({ name: place }) => place)).toContain('192.0.2.11');
      expect(matrix.vantages).toHaveLength(more.length === 0 ? 2 : 1);
    });
  },
);
