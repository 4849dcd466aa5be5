/**
 * DESIGN 10: 1,024 endpoints asked by the program and by a shell loop, in one run, as ratios; and how time and memory grow to 4,096.
 * `npm run bench`, as root, on a machine that has nothing else to do. Not in CI.
 */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { labRefusal, PROJECT } from '../lab/support/lab.js';
import { programsRefusal } from '../lab/support/services.js';
import { buildLargeSite, type LargeSite, PORT } from './large-site.js';
import { type Measured, measure } from './measure.js';

const refusal = (await labRefusal()) ?? programsRefusal('ping', 'xargs', 'bash');
if (refusal !== undefined) console.warn(`SKIPPED: the bench: ${refusal}`);

const SMALL = 1024;
const LARGE = 4096;
/** As many at a time as the program's own ceiling (src/visit/pace.ts). */
const AT_A_TIME = 192;
/** One echo and one connection, a second of patience each: less than the program asks. */
const LOOP = `ping -n -q -c 1 -W 1 "$1" >/dev/null 2>&1 && e=replied || e=no-reply
timeout 1 bash -c "exec 3<>/dev/tcp/$1/${PORT}" 2>/dev/null && t=accepted || t=no-reply
echo "$1 $e $t"`;

const lines: string[] = [];
const say = (text: string): void => {
  lines.push(text);
  console.info(text);
};
const told = (name: string, { wallS, cpuS, peakMb }: Measured): string =>
  `${name}: ${wallS.toFixed(1)} s, ${cpuS.toFixed(1)} s of processor, ${peakMb.toFixed(0)} MB`;

async function byMatchmark(
  site: LargeSite,
  endpoints: number,
): Promise<Measured & { readonly matrix: Matrix }> {
  const out = path.join(site.lab.folder, `run-${endpoints}`);
  const cli = path.join(PROJECT, 'bin/matchmark.js');
  const { file } = site.plan(endpoints);
  await site.forget();
  const measured = await measure(site.laptop, process.execPath, [
    cli,
    'check',
    file,
    '--out',
    out,
    '--quiet',
  ]);
  if (measured.exitCode !== 0 && measured.exitCode !== 1) throw new Error(measured.output.slice(-2000));
  return { ...measured, matrix: JSON.parse(readFileSync(path.join(out, 'matrix.json'), 'utf8')) as Matrix };
}

/** Addresses that answered the loop: echo, or the connection. */
async function byLoop(site: LargeSite, endpoints: number): Promise<Measured & { readonly there: number }> {
  const { addresses } = site.plan(endpoints);
  await site.forget();
  const measured = await measure(
    site.laptop,
    'xargs',
    ['-P', String(AT_A_TIME), '-n', '1', 'bash', '-c', LOOP, 'ask'],
    { input: `${addresses.join('\n')}\n` },
  );
  const there = measured.output.split('\n').filter((line) => / replied | accepted$/.test(line)).length;
  return { ...measured, there };
}

describe.skipIf(refusal !== undefined)('speed', () => {
  const open: LargeSite[] = [];
  afterAll(async () => {
    for (const site of open) await site.lab.remove();
    console.info(`\n${lines.join('\n')}`);
  });

  // 512 fit into the kernel's neighbour table (gc_thresh3, 1024 for all namespaces together); 1,024 and the rest do not.
  it.each([
    [SMALL / 2, 'a quarter is silent', 4],
    [SMALL, 'a quarter is silent', 4],
    [SMALL, 'half is silent', 2],
  ])('%i endpoints where %s', async (endpoints, name, silentEvery) => {
    const site = await buildLargeSite(endpoints, silentEvery);
    open.push(site);
    const present = endpoints - endpoints / silentEvery;
    const loop = await byLoop(site, endpoints);
    const ours = await byMatchmark(site, endpoints);
    say(`${endpoints} endpoints, ${name}:`);
    say(told(`  the loop, ${AT_A_TIME} at a time`, loop));
    say(told('  matchmark check', ours));
    say(
      `  ratio: time ${(ours.wallS / loop.wallS).toFixed(2)}, processor ${(ours.cpuS / loop.cpuS).toFixed(2)}`,
    );
    say(`  found there: loop ${loop.there}, matchmark ${ours.matrix.summary.matches}, really ${present}`);
    // Speed that loses boxes is none.
    expect(ours.matrix.summary).toMatchObject({ matches: present, missing: endpoints - present });
    await open.pop()?.lab.remove();
  });

  it(`grows to ${LARGE} endpoints`, async () => {
    const site = await buildLargeSite(LARGE, 4);
    open.push(site);
    const small = await byMatchmark(site, SMALL);
    const large = await byMatchmark(site, LARGE);
    say(`${LARGE} endpoints, a quarter is silent:`);
    say(told(`  matchmark check, ${SMALL}`, small));
    say(told(`  matchmark check, ${LARGE}`, large));
    say(
      `  ${LARGE / SMALL} times the endpoints: time ${(large.wallS / small.wallS).toFixed(2)}, memory ${(large.peakMb / small.peakMb).toFixed(2)}`,
    );
    const { matches, missing, unproven } = large.matrix.summary;
    say(`  found there: ${matches}, really ${(LARGE * 3) / 4}; missing ${missing}, unproven ${unproven}`);
    expect(large.matrix.summary).toMatchObject({ matches: (LARGE * 3) / 4, missing: LARGE / 4 });
  });
});
