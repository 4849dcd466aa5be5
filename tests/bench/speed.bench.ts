/**
 * DESIGN 10 in one run, as ratios: 512 and 1,024 endpoints asked by the program and by a shell loop, how time and memory grow to 4,096,
 * and what a small site costs beyond the start of Node. `npm run bench`, as root, on a machine that has nothing else to do. Not in CI.
 */
import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { availableParallelism, loadavg } from 'node:os';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { type LabHost, labRefusal, PROJECT } from '../lab/support/lab.js';
import { programsRefusal } from '../lab/support/services.js';
import { buildLargeSite, type LargeSite, PORTS } from './large-site.js';
import { type Measured, measure } from './measure.js';
import { buildSmallSite } from './small-site.js';

const refusal = (await labRefusal()) ?? programsRefusal('ping', 'xargs', 'bash', 'snmpd', 'openssl', 'nft');
if (refusal !== undefined) console.warn(`SKIPPED: the bench: ${refusal}`);

const SMALL = 1024;
const LARGE = 4096;
const SILENT_EVERY = 10;
const AT_A_TIME = 64;
const RUNS = Number(process.env.BENCH_RUNS ?? 5);
/** One echo and three connections, a second of patience each: less than the program asks. */
const LOOP = `ping -n -q -c 1 -W 1 "$1" >/dev/null 2>&1 && e=replied || e=no-reply
for p in ${PORTS.join(' ')}; do
timeout 1 bash -c "exec 3<>/dev/tcp/$1/$p" 2>/dev/null && t=accepted || t=no-reply
e="$e $t"
done
echo "$1 $e"`;
const ENV = { LAB_SNMP: 'lab-read' };

interface Figures {
  readonly seconds: number;
  readonly processorSeconds: number;
  readonly peakMb: number;
}

/** Milliseconds from the start of Node to each moment of a run, in their order. */
type Moments = readonly (readonly [name: string, atMs: number])[];
type Checked = Measured & { readonly matrix: Matrix; readonly moments: Moments };

/** What was measured last, with the machine beside it: tests/bench/last-run.json. */
const figures: Record<string, unknown> = {
  cores: availableParallelism(),
  node: process.version,
  loadBefore: loadavg()[0],
  runs: RUNS,
};
const RECORD = path.join(PROJECT, 'tests/bench/last-run.json');

const median = (values: readonly number[]): number =>
  [...values].sort((one, other) => one - other)[values.length >> 1] ?? 0;
const round = (value: number): number => Number(value.toFixed(2));

function figuresOf(runs: readonly Measured[]): Figures {
  return {
    seconds: round(median(runs.map(({ wallS }) => wallS))),
    processorSeconds: round(median(runs.map(({ cpuS }) => cpuS))),
    peakMb: Math.round(median(runs.map(({ peakMb }) => peakMb))),
  };
}

async function several<Ran extends Measured>(work: () => Promise<Ran>): Promise<readonly Ran[]> {
  const runs: Ran[] = [];
  for (let at = 0; at < RUNS; at += 1) runs.push(await work());
  return runs;
}

/** What each phase took, in milliseconds, by the moment that ends it. */
function phasesOf(runs: readonly Checked[]): Record<string, number> {
  const phases = new Map<string, number[]>();
  for (const { moments } of runs) {
    let before = 0;
    for (const [name, atMs] of moments) {
      phases.set(name, [...(phases.get(name) ?? []), atMs - before]);
      before = atMs;
    }
  }
  return Object.fromEntries([...phases].map(([name, took]) => [name, Math.round(median(took))]));
}

const CLI = path.join(PROJECT, 'bin/matchmark.js');

const MOMENTS = path.join(PROJECT, 'tests/bench/moments.mjs');

async function check(host: LabHost, plan: string, out: string): Promise<Checked> {
  rmSync(out, { recursive: true, force: true });
  const file = `${out}-moments.json`;
  const args = ['--import', MOMENTS, CLI, 'check', plan, '--out', out, '--quiet'];
  const measured = await measure(host, process.execPath, args, { env: { ...ENV, MOMENTS_FILE: file } });
  if (measured.exitCode !== 0 && measured.exitCode !== 1) throw new Error(measured.output.slice(-2000));
  return {
    ...measured,
    matrix: JSON.parse(readFileSync(path.join(out, 'matrix.json'), 'utf8')) as Matrix,
    moments: JSON.parse(readFileSync(file, 'utf8')) as Moments,
  };
}

async function byMatchmark(site: LargeSite, endpoints: number): Promise<Checked> {
  await site.forget();
  const { file } = site.plan(endpoints);
  const ran = await check(site.laptop, file, path.join(site.lab.folder, `run-${endpoints}`));
  // Speed that loses devices is none.
  const silent = Math.ceil(endpoints / SILENT_EVERY);
  const { matches, missing } = ran.matrix.summary;
  expect([matches, missing]).toEqual([endpoints - silent, silent]);
  return ran;
}

async function byLoop(site: LargeSite, endpoints: number): Promise<Measured> {
  const { addresses } = site.plan(endpoints);
  await site.forget();
  const args = ['-P', String(AT_A_TIME), '-n', '1', 'bash', '-c', LOOP, 'ask'];
  return measure(site.laptop, 'xargs', args, { input: `${addresses.join('\n')}\n` });
}

function keep(name: string, value: object): void {
  figures[name] = value;
  console.info(`${name}: ${JSON.stringify(value)}`);
}

describe.skipIf(refusal !== undefined)('speed', () => {
  afterAll(() => writeFileSync(RECORD, `${JSON.stringify(figures, null, 2)}\n`));

  it.each([SMALL / 2, SMALL])('%i endpoints, a tenth silent, against the loop', async (endpoints) => {
    const site = await buildLargeSite(endpoints, SILENT_EVERY);
    try {
      const loops: Measured[] = [];
      const ours: Checked[] = [];
      // One after the other in turn, so that a busy moment hits both.
      for (let at = 0; at < RUNS; at += 1) {
        loops.push(await byLoop(site, endpoints));
        ours.push(await byMatchmark(site, endpoints));
      }
      const [loop, own] = [figuresOf(loops), figuresOf(ours)];
      keep(`${endpoints} endpoints`, {
        loop,
        matchmark: own,
        timesFaster: round(loop.seconds / own.seconds),
        timesLessProcessor: round(loop.processorSeconds / own.processorSeconds),
        phasesMs: phasesOf(ours),
      });
    } finally {
      await site.lab.remove();
    }
  });

  it(`grows to ${LARGE} endpoints`, async () => {
    const site = await buildLargeSite(LARGE, SILENT_EVERY);
    try {
      const smallRuns: Checked[] = [];
      const largeRuns: Checked[] = [];
      for (let at = 0; at < RUNS; at += 1) {
        smallRuns.push(await byMatchmark(site, SMALL));
        largeRuns.push(await byMatchmark(site, LARGE));
      }
      const [small, large] = [figuresOf(smallRuns), figuresOf(largeRuns)];
      const timesLonger = round(large.seconds / small.seconds);
      const timesMoreProcessor = round(large.processorSeconds / small.processorSeconds);
      keep('growth', { small, large, timesLonger, timesMoreProcessor, phasesMs: phasesOf(largeRuns) });
    } finally {
      await site.lab.remove();
    }
  });

  it('small sites, and the start', async () => {
    const site = await buildSmallSite();
    try {
      const out = path.join(site.lab.folder, 'run');
      const node = figuresOf(await several(() => measure(site.laptop, process.execPath, ['-e', '0'])));
      const help = figuresOf(await several(() => measure(site.laptop, process.execPath, [CLI, '--help'])));
      const healthy = await several(async () => {
        const ran = await check(site.laptop, site.healthy, out);
        expect(ran.matrix.summary).toMatchObject({ matches: 16 });
        return ran;
      });
      const silentPort = await several(async () => {
        const ran = await check(site.laptop, site.silentPort, out);
        expect(ran.matrix.summary).toMatchObject({ matches: 6, differs: 1, missing: 1 });
        return ran;
      });
      keep('start', { node, help, timesNode: round(help.seconds / node.seconds) });
      const [well, silent] = [figuresOf(healthy), figuresOf(silentPort)];
      const beyondNode = round(well.seconds - node.seconds);
      keep('16 healthy endpoints', { ...well, beyondNode, phasesMs: phasesOf(healthy) });
      keep('8 endpoints, one silent port, one absent', { ...silent, phasesMs: phasesOf(silentPort) });
    } finally {
      await site.lab.remove();
    }
  });
});
