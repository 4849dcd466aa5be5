/**
 * The fault table's lines on loss: the kernel loses each n-th packet both ways, and every service is asked over it. A service that works
 * may then be told silent, which is honest; never refused, never another protocol, never longer than its bound.
 */
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { generate } from 'selfsigned';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Asked } from './loss-runner.js';
import { Lab, labRefusal } from './support/lab.js';
import { run } from './support/run.js';

const refusal =
  (await labRefusal()) ?? ((await run('nft', ['--version'])).exitCode === 0 ? undefined : 'no nft program');
if (refusal !== undefined) console.warn(`SKIPPED: services over a network that loses packets: ${refusal}`);

const PATIENCE = { timeoutMs: 2000, attempts: 5 } as const;
/** Connecting: one patience for each try. Talking: two. SNMP: one for each try and two seconds. */
const BOUND_MS = (PATIENCE.attempts + 2) * PATIENCE.timeoutMs + 1000;

describe.skipIf(refusal !== undefined)('over a network that loses packets', () => {
  let lab: Lab;
  let script: string;
  let pems: { private: string; cert: string };

  beforeAll(async () => {
    lab = new Lab();
    script = path.join(lab.folder, 'loss-runner.cjs');
    await build({
      entryPoints: [fileURLToPath(new URL('loss-runner.ts', import.meta.url))],
      outfile: script,
      bundle: true,
      platform: 'node',
      format: 'cjs',
      logLevel: 'error',
    });
    pems = await generate([{ name: 'commonName', value: 'vault-1-a.example' }], { keySize: 2048 });
  });
  afterAll(() => lab.remove());

  it.concurrent.each([
    // Which of five packets are lost, in turn: the same each time, and both ways. TCP sends again what gets lost (RFC 6298).
    [0, [], true],
    [20, [2], true],
    // More than a fifth is no network that anything works over: there one asking is enough to see that it ends.
    [40, [0, 2], false],
    [60, [0, 2, 3], false],
  ] as const)('at %i %% nothing is told wrong', async (_percent, lost, allProven) => {
    const host = await lab.addHost('vault-1');
    const rule = lost.length === 0 ? '' : `numgen inc mod 5 { ${lost.join(', ')} } drop;`;
    const chain = `table inet lossy { chain in { type filter hook input priority 0; ${rule} }; }`;
    await host.must('nft', ['-f', '-'], { input: chain });
    const most = allProven ? 3 : 1;
    const args = [
      script,
      pems.private,
      pems.cert,
      String(PATIENCE.timeoutMs),
      String(PATIENCE.attempts),
      String(most),
    ];
    const asked = JSON.parse(await host.must(process.execPath, args, { timeoutMs: 120_000 })) as Asked[][];
    expect(asked.map(([first]) => first?.service)).toEqual(['ssh', 'http', 'https', 'iscsi-target', 'snmp']);
    for (const { service, outcome, cause, tookMs } of asked.flat()) {
      expect([service, outcome]).toEqual([service, expect.stringMatching(/^(?:proven|silent)$/)]);
      if (outcome === 'silent') expect(['timeout', 'accepted-and-silent']).toContain(cause);
      expect(tookMs).toBeLessThan(BOUND_MS);
    }
    // Where a fifth gets lost, whoever asks again is told the truth.
    if (allProven) expect(asked.map((tries) => tries.at(-1)?.outcome)).toEqual(asked.map(() => 'proven'));
  });
});
