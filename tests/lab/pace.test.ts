/**
 * The pace as the wire sees it (DESIGN 5): a capture on the laptop's own port counts every frame that leaves, whoever in the laptop sent it,
 * and every question to each device. Connections that are begun (SYN), echoes and SNMP requests are questions.
 */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { DEFAULT_PACE, paceOf } from '../../src/run/pace.js';
import { addressOf, buildLargeSite, ENDPOINTS_A_DEVICE, type LargeSite } from '../bench/large-site.js';
import { labRefusal } from './support/lab.js';
import { programsRefusal } from './support/services.js';

const refusal = (await labRefusal()) ?? programsRefusal('tcpdump', 'ping', 'nft');
if (refusal !== undefined) console.warn(`SKIPPED: the pace on the wire: ${refusal}`);

const ENDPOINTS = 512;
const SILENT_EVERY = 10;
const FRAGILE = 800;
const FEW = 96;

interface Frame {
  readonly atMs: number;
  /** Where a question of it goes; absent for all other frames. */
  readonly asks?: string | undefined;
}

/** Most of these moments that lie in one second. */
function busiestSecond(moments: readonly number[]): number {
  const sorted = [...moments].sort((one, other) => one - other);
  let from = 0;
  let most = 0;
  sorted.forEach((at, index) => {
    while (at - (sorted[from] ?? at) >= 1000) from += 1;
    most = Math.max(most, index - from + 1);
  });
  return most;
}

/** One line of `tcpdump -tt -n`. */
function frameOf(line: string): Frame | undefined {
  const [, seconds, rest = ''] = /^(\d+\.\d+) (.*)$/.exec(line) ?? [];
  if (seconds === undefined) return undefined;
  const echo = /> ([\d.]+): ICMP echo request/.exec(rest)?.[1];
  const connection = /> ([\d.]+)\.\d+: Flags \[S\]/.exec(rest)?.[1];
  return { atMs: Number(seconds) * 1000, asks: echo ?? connection };
}

describe.skipIf(refusal !== undefined)('the pace on the wire', () => {
  let site: LargeSite;
  beforeAll(async () => {
    site = await buildLargeSite(ENDPOINTS, SILENT_EVERY);
  });
  afterAll(() => site?.lab.remove());

  async function framesOf(endpoints: number, more: readonly string[]) {
    const { lab, laptop } = site;
    const mac = (await laptop.must('cat', ['/sys/class/net/eth0/address'])).trim();
    const file = path.join(lab.folder, `pace-${endpoints}.pcap`);
    const capture = laptop.start('tcpdump', [
      ...['-i', 'eth0', '-n', '-s', '96', '-B', '16384', '-U', '--immediate-mode', '-w', file],
      ...['ether', 'src', mac],
    ]);
    await capture.waitFor(/listening on/);
    await site.forget();
    const out = path.join(lab.folder, `pace-${endpoints}`);
    const ran = await laptop.matchmark([
      ...['check', site.plan(endpoints).file, '--out', out, '--quiet'],
      ...more,
    ]);
    expect([0, 1]).toContain(ran.exitCode);
    await capture.stop();
    const { summary } = JSON.parse(readFileSync(path.join(out, 'matrix.json'), 'utf8')) as Matrix;
    const silent = Math.ceil(endpoints / SILENT_EVERY);
    expect(summary).toMatchObject({ matches: endpoints - silent, missing: silent });
    const text = await laptop.must('tcpdump', ['-r', file, '-tt', '-n']);
    return text.split('\n').flatMap((line) => frameOf(line) ?? []);
  }

  /** Questions to each device in its busiest second. */
  function busiestDevice(frames: readonly Frame[]): number {
    const deviceOf = new Map(
      Array.from({ length: ENDPOINTS }, (_, at) => [addressOf(at), Math.floor(at / ENDPOINTS_A_DEVICE)]),
    );
    const asked = new Map<number, number[]>();
    for (const { atMs, asks } of frames) {
      const device = asks === undefined ? undefined : deviceOf.get(asks);
      if (device !== undefined) asked.set(device, [...(asked.get(device) ?? []), atMs]);
    }
    return Math.max(...[...asked.values()].map(busiestSecond));
  }

  /** A device may be asked for a quarter of a second's questions at once, and then at its rate. */
  const burst = (devicePerSecond: number): number => Math.ceil(devicePerSecond * 1.25) + 1;

  it('is never above the ceilings of the run and of a device', async () => {
    const frames = await framesOf(ENDPOINTS, []);
    const most = busiestSecond(frames.map(({ atMs }) => atMs));
    const ofDevice = busiestDevice(frames);
    console.info(
      `${ENDPOINTS} endpoints: at most ${most} frames and ${ofDevice} questions to one device a second`,
    );
    expect(frames.length).toBeGreaterThan(DEFAULT_PACE.runPerSecond);
    expect(most).toBeLessThanOrEqual(DEFAULT_PACE.runPerSecond);
    expect(ofDevice).toBeLessThanOrEqual(burst(DEFAULT_PACE.devicePerSecond));
  });

  it('is lower by --pace, each device in proportion', async () => {
    const frames = await framesOf(FEW, ['--pace', String(FRAGILE)]);
    const most = busiestSecond(frames.map(({ atMs }) => atMs));
    const ofDevice = busiestDevice(frames);
    console.info(
      `--pace ${FRAGILE}: at most ${most} frames and ${ofDevice} questions to one device a second`,
    );
    expect(frames.length).toBeGreaterThan(FRAGILE);
    expect(most).toBeLessThanOrEqual(FRAGILE);
    expect(ofDevice).toBeLessThanOrEqual(burst(paceOf(FRAGILE).devicePerSecond));
  });
});
