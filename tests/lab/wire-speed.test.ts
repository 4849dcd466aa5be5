/** How long a whole check takes: DESIGN 10, "all the silent ones must cost it together". */
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { rounds } from '../support/rounds.js';
import { labRefusal } from './support/lab.js';
import { programsRefusal } from './support/services.js';
import { ABSENT, buildSpeedSite, PRESENT, type SpeedSite } from './support/wire-speed-site.js';
import { type Lacking, pathWithout } from './support/without.js';

const refusal = (await labRefusal()) ?? programsRefusal('tcpdump', 'arping', 'openssl', 'ping', 'setpriv');
if (refusal !== undefined) console.warn(`SKIPPED: the time of a check in the lab: ${refusal}`);

const WAYS: readonly [string, readonly Lacking[], boolean][] = [
  ['by capture', ['arping'], false],
  ['by arping', ['tcpdump', 'dumpcap'], false],
  ['by the neighbour table alone', ['tcpdump', 'dumpcap', 'arping'], false],
  ['by the neighbour table alone, without rights', ['tcpdump', 'dumpcap', 'arping'], true],
];

/** One patience for a silent address (Linux puts three questions a second apart, RFC 4861 §10), in milliseconds. */
const PATIENCE_MS = 3200;

describe.skipIf(refusal !== undefined)('the time of a check of a /24 with 20 present', () => {
  let site: SpeedSite;
  beforeAll(async () => {
    site = await buildSpeedSite();
  });
  afterAll(() => site?.lab.remove());

  it.each(
    rounds(
      WAYS.filter((_way, index) => index % 3 === 0),
      WAYS,
    ),
  )('230 silent ones cost what one costs (%s)', async (name, lacking, asNobody) => {
    const check = async (plan: string): Promise<{ matrix: Matrix; lookMs: number; wholeMs: number }> => {
      await site.laptop.must('ip', ['neigh', 'flush', 'dev', 'eth0']);
      const out = path.join(site.lab.folder, `out-${asNobody ? 'nobody' : 'root'}`);
      const startedAt = performance.now();
      const ran = await site.laptop.matchmark(['check', plan, '--json', '--out', out], {
        asNobody,
        env: { PATH: pathWithout(site.lab, ...lacking) },
      });
      if (ran.stdout === '') throw new Error(`exit ${ran.exitCode}: ${ran.stderr}`);
      const matrix = JSON.parse(ran.stdout) as Matrix;
      const lookMs = Date.parse(matrix.run.finishedAt) - Date.parse(matrix.run.startedAt);
      return { matrix, lookMs, wholeMs: performance.now() - startedAt };
    };
    const present = await check(site.presentPlanFile);
    const one = await check(site.oneAbsentPlanFile);
    const all = await check(site.planFile);
    expect(present.matrix.summary).toMatchObject({ matches: PRESENT.length, missing: 0 });
    expect(one.matrix.summary).toMatchObject({ matches: PRESENT.length, missing: 1 });
    expect(all.matrix.summary).toMatchObject({ matches: PRESENT.length, missing: ABSENT.length });
    // One silent address is settled in less than one patience where nothing is lost; all of them together take no more than one.
    expect(all.lookMs - one.lookMs).toBeLessThan(PATIENCE_MS / 2);
    expect(all.lookMs - present.lookMs).toBeLessThan(PATIENCE_MS + 1000);
    console.info(
      [
        `${name}:`,
        ...[present, one, all].map((each) => `${each.lookMs}/${Math.round(each.wholeMs)} ms`),
      ].join(' '),
    );
  });
});
