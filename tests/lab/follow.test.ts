import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { followHall, pullAndPlug, shareOfACore } from './support/follow-hall.js';
import { buildHallSite, type HallSite } from './support/hall-site.js';
import { labRefusal, PROJECT } from './support/lab.js';
import type { Running } from './support/run.js';
import { programsRefusal } from './support/services.js';
import { buildTwoArrays, LAB_ENV, type TwoArrays } from './support/two-arrays.js';

const refusal = (await labRefusal()) ?? programsRefusal('snmpd', 'openssl', 'ping');
if (refusal !== undefined) console.warn(`SKIPPED: following in the lab: ${refusal}`);

/** DESIGN 4, `follow`: live. Who goes or comes shows within two seconds; a busy machine gets one more. */
const AT_ONCE_MS = 3_000;
/** A closer look takes its patience with the silent. */
const SOON_MS = 9_000;

describe.skipIf(refusal !== undefined)('matchmark follow on a pipe', () => {
  let site: TwoArrays;
  beforeAll(async () => {
    site = await buildTwoArrays();
  });
  afterAll(() => site?.lab.remove());

  const begin = (out: string, ...more: string[]): Running =>
    site.laptop.start(
      process.execPath,
      [
        path.join(PROJECT, 'bin/matchmark.js'),
        'follow',
        site.planFile,
        '--interval',
        '1',
        '--out',
        out,
        ...more,
      ],
      { env: LAB_ENV },
    );
  const ended = (running: Running): Promise<number | null> =>
    running.child.exitCode !== null
      ? Promise.resolve(running.child.exitCode)
      : new Promise((resolve) => running.child.on('close', resolve));
  const matrixIn = (out: string): Matrix =>
    JSON.parse(readFileSync(path.join(out, 'matrix.json'), 'utf8')) as Matrix;

  it('names a pulled cable and its return within seconds, and writes the matrix of the end on q', async () => {
    const out = path.join(site.lab.folder, 'followed');
    const running = begin(out);
    await running.waitFor(/First look: 12 as planned/, 30_000);
    const controller = site.controllers['vault-1-b'];
    await controller.linkUp('mgmt', false);
    const pulledAt = performance.now();
    await running.waitFor(/\d\d:\d\d:\d\d {2}vault-1\/B\/mgmt: no longer answers\n/, AT_ONCE_MS);
    const goneMs = performance.now() - pulledAt;
    await running.waitFor(/vault-1\/B\/mgmt: was matches, now missing/, SOON_MS);
    await controller.linkUp('mgmt', true);
    const pluggedAt = performance.now();
    await running.waitFor(/vault-1\/B\/mgmt: now answers\n/, AT_ONCE_MS);
    const backMs = performance.now() - pluggedAt;
    await running.waitFor(/vault-1\/B\/mgmt: was \w+, now matches\n/, 2 * SOON_MS);
    console.info(`gone was named after ${goneMs.toFixed(0)} ms, back after ${backMs.toFixed(0)} ms`);
    running.child.stdin?.write('q\n');
    expect(await ended(running)).toBe(0);
    const named = running.output().match(/^\d\d:\d\d:\d\d {2}\S+/gm) ?? [];
    // Nobody else is talked about but the port that was pulled. Its group was at risk before, and is.
    expect([...new Set(named.map((line) => line.slice(10)))].sort()).toEqual(['vault-1/B/mgmt:']);
    const matrix = matrixIn(out);
    expect(matrix.run.complete).toBe(true);
    expect(matrix.summary).toMatchObject({ matches: 12, missing: 0 });
    expect(existsSync(path.join(out, 'matrix.html'))).toBe(true);
  });

  it('ends after so many looks, with the result alone on standard output', async () => {
    const out = path.join(site.lab.folder, 'rounds');
    const ran = await site.laptop.matchmark(
      ['follow', site.planFile, '--interval', '1', '--rounds', '2', '--out', out, '--json'],
      { env: LAB_ENV },
    );
    expect(ran.exitCode).toBe(0);
    expect((JSON.parse(ran.stdout) as Matrix).summary.matches).toBe(12);
    expect(readFileSync(path.join(out, 'matrix.json'), 'utf8')).toBe(ran.stdout);
  });

  it('writes the last whole state on Ctrl-C, and ends with 130', async () => {
    const out = path.join(site.lab.folder, 'interrupted');
    const running = begin(out, '--json');
    await running.waitFor(/First look/, 30_000);
    process.kill(running.child.pid ?? 0, 'SIGINT');
    expect(await ended(running)).toBe(130);
    expect(matrixIn(out)).toMatchObject({ run: { complete: true }, summary: { matches: 12 } });
  });
});

/** tests/long/follow.test.ts has the same for minutes, with the heap. */
describe.skipIf(refusal !== undefined || programsRefusal('script') !== undefined)(
  'matchmark follow at 64 endpoints',
  () => {
    let site: HallSite;
    beforeAll(async () => {
      site = await buildHallSite();
    });
    afterAll(() => site?.lab.remove());

    it('takes less than a tenth of one core, also where a look every second is asked for, and tells who goes and comes at once', async () => {
      const [running, often] = [await followHall(site), await followHall(site, {}, ['--interval', '1'])];
      await often.waitFor(/look 3, /, 60_000);
      // More than the default rest between two looks, so that one is in it.
      const [share, oftenShare] = await Promise.all([shareOfACore(running, 30), shareOfACore(often, 30)]);
      const rests = [...often.output().matchAll(/look (\d+), the next in (\d+) s/g)].map(
        ([, , rest]) => rest,
      );
      await often.stop();
      const { goneMs, backMs } = await pullAndPlug(site, running, 0);
      console.info(
        [
          `${(share * 100).toFixed(1)} % of one core, gone was told after ${goneMs.toFixed(0)} ms, back after ${backMs.toFixed(0)} ms;`,
          `at an interval of 1 s ${(oftenShare * 100).toFixed(1)} %, rests of ${[...new Set(rests)].join(', ')} s`,
        ].join(' '),
      );
      expect(share).toBeLessThan(0.1);
      expect(oftenShare).toBeLessThan(0.1);
      expect(goneMs).toBeLessThan(AT_ONCE_MS);
      expect(backMs).toBeLessThan(AT_ONCE_MS);
      await running.stop();
    });
  },
);
