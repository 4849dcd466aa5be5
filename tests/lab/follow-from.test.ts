/** `follow --from`: a cable that the laptop cannot see, followed from a host that can, over a real sshd. */
import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { Lab, type LabHost, labRefusal, PROJECT } from './support/lab.js';
import type { Running } from './support/run.js';
import { programsRefusal, startEquipment } from './support/services.js';
import { makeSshKeys, pathWith, type SshKeys, startSshd } from './support/ssh.js';

const refusal = (await labRefusal()) ?? programsRefusal('ping', 'ssh', 'sshd', 'ssh-keygen');
if (refusal !== undefined) console.warn(`SKIPPED: following from elsewhere in the lab: ${refusal}`);

/** A look from there, in full or a closer one. */
const A_LOOK_MS = 60_000;
/** DESIGN wants a change within two seconds; the third is for a machine with other tests on it. */
const SOON_MS = 3_000;
/** What a POSIX host has without Node. */
const BARE = ['sh', 'bash', 'ip', 'ping', 'timeout', 'sed', 'fold', 'sleep', 'cat', 'uname', 'date'];

describe.skipIf(refusal !== undefined)(
  'matchmark follow --from a host that the laptop reaches by SSH',
  () => {
    let lab: Lab;
    let laptop: LabHost;
    let vault: LabHost;
    let keys: SshKeys;
    let hosts: Record<string, LabHost>;
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
      const plain = await lab.addHost('press-2', [
        { switch: mgmt, name: 'eth0', addresses: ['192.0.2.12/24'] },
        { switch: data, name: 'eth1', addresses: ['198.51.100.12/25'] },
      ]);
      await startSshd(plain, keys, { path: pathWith(lab, 'bare', BARE) });
      hosts = { '192.0.2.11': press, '192.0.2.12': plain };
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

    const begin = (out: string, place: string, ...more: string[]): Running =>
      laptop.start(
        process.execPath,
        [
          ...[path.join(PROJECT, 'bin/matchmark.js'), 'follow', path.join(lab.folder, 'list.csv')],
          ...['--from', `ssh://root@${place}`, '--out', out, ...more],
        ],
        { env: { PATH: `${keys.bin}:${process.env.PATH}` } },
      );
    const ended = async (running: Running): Promise<number | null> => {
      const closed = new Promise<number | null>((resolve) => running.child.on('close', resolve));
      running.child.stdin?.write('q\n');
      return running.child.exitCode ?? closed;
    };

    const PLACES = [
      ['with Node, beside the laptop', '192.0.2.11', []],
      ['with Node, with the laptop left out', '192.0.2.11', ['--only-from']],
      ['with a shell alone', '192.0.2.12', ['--only-from']],
    ] as const;
    const port = 'vault-1/A/data0';

    it('names within seconds a cable that is pulled and plugged where the laptop is not, from each kind of place', async () => {
      const before = Object.fromEntries(
        await Promise.all(Object.entries(hosts).map(async ([at, host]) => [at, await host.running()])),
      );
      // All follow the same cable at the same time.
      const followed = PLACES.map(([name, place, more]) => {
        const out = path.join(lab.folder, name);
        return { name, place, more, out, following: begin(out, place, ...more) };
      });
      const all = async (each: (one: (typeof followed)[number]) => Promise<unknown>): Promise<void> => {
        await Promise.all(followed.map(each));
      };
      const told = async (words: (place: string) => string): Promise<number[]> => {
        const beganMs = performance.now();
        return Promise.all(
          followed.map(async ({ place, following }) => {
            await following.waitFor(new RegExp(`${port}: ${words(place)}`), A_LOOK_MS);
            return performance.now() - beganMs;
          }),
        );
      };
      await all(({ following }) => following.waitFor(/First look: \d as planned/, A_LOOK_MS));
      // The pulse logs in and asks each address once.
      await pause(5_000);
      await vault.linkUp('data0', false);
      const gone = told((place) => `no longer answers, seen from ${place}\n`);
      const judged = told(() => 'was \\S+, now missing');
      const [goneMs, judgedMs] = [await gone, await judged];
      await vault.linkUp('data0', true);
      const back = told((place) => `now answers, seen from ${place}\n`);
      const found = told(() => 'was missing, now (?!missing)');
      const backMs = await back;
      await found;
      for (const [at, { name }] of followed.entries())
        console.info(
          `${name}: gone was told after ${goneMs[at]?.toFixed(0)} ms and judged after ${judgedMs[at]?.toFixed(0)}, back after ${backMs[at]?.toFixed(0)} ms`,
        );
      expect(Math.max(...goneMs)).toBeLessThan(SOON_MS);
      expect(Math.max(...backMs)).toBeLessThan(SOON_MS);
      await all(async ({ place, more, out, following }) => {
        expect(await ended(following)).toBe(0);
        // Nobody else is talked about but the port that was pulled.
        const named = following.output().match(/^\d\d:\d\d:\d\d {2}\S+/gm) ?? [];
        expect([...new Set(named.map((line) => line.slice(10)))]).toEqual([`${port}:`]);
        expect(following.output()).not.toContain('note:');
        const matrix = JSON.parse(readFileSync(path.join(out, 'matrix.json'), 'utf8')) as Matrix;
        expect(matrix.summary.missing).toBe(0);
        expect(matrix.vantages.map(({ name: each }) => each)).toContain(place);
        expect(matrix.vantages).toHaveLength(more.length === 0 ? 2 : 1);
      });
      // Nothing is left behind there.
      for (const [at, host] of Object.entries(hosts))
        await vi.waitFor(async () => expect(await host.running()).toEqual(before[at]), {
          timeout: 10_000,
          interval: 500,
        });
    });
  },
);
