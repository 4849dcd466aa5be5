/**
 * `follow` at 64 endpoints, as long as FOLLOW_MINUTES says (default 10), in real time and with the default rest: less than a tenth of one
 * core, each change within two seconds, and a heap that does not grow. Wants `npm run build`, root, and a machine with nothing else to do.
 */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { followHall, pullAndPlug, shareOfACore } from '../lab/support/follow-hall.js';
import { buildHallSite, type HallSite } from '../lab/support/hall-site.js';
import { labRefusal } from '../lab/support/lab.js';
import { programsRefusal } from '../lab/support/services.js';

const refusal = (await labRefusal()) ?? programsRefusal('openssl', 'ping', 'script');
if (refusal !== undefined) console.warn(`SKIPPED: following for minutes: ${refusal}`);

const MINUTES = Number(process.env.FOLLOW_MINUTES ?? 10);
/** Code is compiled and caches are filled by then. */
const WARM_MINUTES = Math.min(5, MINUTES / 2);
const CHANGES = 20;
const SAMPLER = fileURLToPath(new URL('../lab/support/heap-sampler.cjs', import.meta.url));

interface Sample {
  readonly atS: number;
  readonly heapMb: number;
  readonly rssMb: number;
}

describe.skipIf(refusal !== undefined)('matchmark follow at 64 endpoints', () => {
  let site: HallSite;
  beforeAll(async () => {
    site = await buildHallSite();
  }, 120_000);
  afterAll(() => site?.lab.remove());

  it(
    'takes little, tells soon, and does not grow',
    async () => {
      const samples = path.join(site.lab.folder, 'heap');
      const running = await followHall(site, { NODE_OPTIONS: `--require ${SAMPLER}`, HEAP_SAMPLES: samples });
      const share = await shareOfACore(running, MINUTES * 60);
      const heap = readFileSync(samples, 'utf8')
        .trim()
        .split('\n')
        .map((line) => JSON.parse(line) as Sample);
      const warm = heap.filter(({ atS }) => atS > WARM_MINUTES * 60);
      const anHour = (of: (sample: Sample) => number): number =>
        slope(warm.map((sample) => [sample.atS / 3600, of(sample)] as const));
      const times = [];
      for (let at = 0; at < CHANGES; at += 1) times.push(await pullAndPlug(site, running, at * 7));
      const told = times.flatMap(({ goneMs, backMs }) => [goneMs, backMs]).sort((a, b) => a - b);
      const last = heap.at(-1);
      console.warn(
        [
          `${MINUTES} min: ${(share * 100).toFixed(1)} % of one core;`,
          `heap ${warm[0]?.heapMb.toFixed(1)} to ${last?.heapMb.toFixed(1)} MB, by ${anHour(({ heapMb }) => heapMb).toFixed(1)} MB an hour;`,
          `resident ${warm[0]?.rssMb.toFixed(0)} to ${last?.rssMb.toFixed(0)} MB;`,
          `changes told after ${told[0]?.toFixed(0)} to ${told.at(-1)?.toFixed(0)} ms, half within ${told[told.length >> 1]?.toFixed(0)} ms`,
        ].join(' '),
      );
      expect(share).toBeLessThan(0.1);
      expect(told.at(-1)).toBeLessThan(2_000);
      expect(warm.length).toBeGreaterThan(5);
      // What is collected differs by half a megabyte from one time to the next.
      const grown = (last?.heapMb ?? 0) - (warm[0]?.heapMb ?? 0);
      expect(grown).toBeLessThan(1.5);
      await running.stop();
    },
    (MINUTES + 10) * 60_000,
  );
});

/** Least squares: how much the second value rises for each one of the first. */
function slope(points: readonly (readonly [number, number])[]): number {
  const mean = (of: (point: readonly [number, number]) => number): number =>
    points.reduce((sum, point) => sum + of(point), 0) / points.length;
  const [x, y] = [mean(([each]) => each), mean(([, each]) => each)];
  const over = points.reduce((sum, [a, b]) => sum + (a - x) * (b - y), 0);
  return over / points.reduce((sum, [a]) => sum + (a - x) ** 2, 0);
}
