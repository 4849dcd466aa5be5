import { readFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { labRefusal, PROJECT } from './support/lab.js';
import { programsRefusal } from './support/services.js';
import { buildTwoArrays, LAB_ENV, type TwoArrays } from './support/two-arrays.js';

const refusal = (await labRefusal()) ?? programsRefusal('snmpd', 'openssl', 'ping');
if (refusal !== undefined) console.warn(`SKIPPED: the drill in the lab: ${refusal}`);

const CUT_MS = 2_000;

interface Event {
  readonly event: string;
  readonly kind?: string;
  readonly name?: string;
  readonly record?: {
    readonly outcome: string;
    readonly gaps: readonly { endpoint: string; gapMs: number; returned: boolean }[];
  };
}

describe.skipIf(refusal !== undefined)('matchmark drill', () => {
  let site: TwoArrays;
  beforeAll(async () => {
    site = await buildTwoArrays();
  });
  afterAll(() => site?.lab.remove());

  it('times the gap that a pulled cable makes, to 0.3 s, and records that the group survived', async () => {
    const out = path.join(site.lab.folder, 'drill');
    const cli = [path.join(PROJECT, 'bin/matchmark.js'), 'drill', site.planFile, '--group', 'vault-1 data'];
    const running = site.laptop.start(
      process.execPath,
      [...cli, '--script', '--by', 'R. Hale', '--hold', '1', '--out', out],
      {
        env: LAB_ENV,
      },
    );
    const say = (text: string): boolean => running.child.stdin?.write(`${text}\n`) ?? false;
    const seen: Event[] = [];
    let read = 0;
    /** The next event of this kind; later ones stay. */
    const next = async (kind: string): Promise<Event> => {
      const until = Date.now() + 60_000;
      while (Date.now() < until) {
        const lines = running
          .output()
          .split('\n')
          .filter((line) => line.startsWith('{'));
        while (seen.length < lines.length) seen.push(JSON.parse(lines[seen.length] ?? '{}') as Event);
        while (read < seen.length) {
          const event = seen[read++];
          if (event?.event === kind) return event;
        }
        await new Promise((resolve) => setTimeout(resolve, 20));
      }
      throw new Error(`no ${kind} event: ${running.output()}`);
    };

    const first = await next('pull');
    expect(first).toMatchObject({ kind: 'cable', name: 'vault-1/A/data0' });
    // Long enough for the watch to have seen it answer.
    await new Promise((resolve) => setTimeout(resolve, 700));
    const cutAt = performance.now();
    await site.controllers['vault-1-a'].linkUp('data0', false);
    await new Promise((resolve) => setTimeout(resolve, CUT_MS));
    await site.controllers['vault-1-a'].linkUp('data0', true);
    const cutMs = performance.now() - cutAt;
    const measured = (await next('measured')).record;
    expect(measured?.outcome).toBe('survived');
    const gap = measured?.gaps.find(({ endpoint }) => endpoint === 'vault-1/A/data0');
    expect(gap?.returned).toBe(true);
    expect(Math.abs((gap?.gapMs ?? 0) - cutMs)).toBeLessThan(300);
    expect(measured?.gaps).toHaveLength(1);
    console.info(`cut of ${cutMs.toFixed(0)} ms was measured as ${gap?.gapMs.toFixed(0)} ms`);

    // The same step again, skipped this time; then the rest is called off.
    await next('ask');
    say('next');
    expect(await next('pull')).toMatchObject({ kind: 'cable', name: 'vault-1/A/data1' });
    say('skip');
    await next('pull');
    say('abort');
    const exitCode = await new Promise((resolve) => running.child.on('close', resolve));
    expect(exitCode).toBe(3);

    const matrix = JSON.parse(readFileSync(path.join(out, 'matrix.json'), 'utf8')) as Matrix;
    expect(
      matrix.evidence[0]?.drills.map(({ outcome, pulled, by }) => `${outcome} ${pulled.name} ${by}`),
    ).toEqual([
      'survived vault-1/A/data0 R. Hale',
      'skipped vault-1/A/data1 R. Hale',
      expect.stringMatching(/^aborted /),
    ]);
    expect(readFileSync(path.join(out, 'matrix.html'), 'utf8')).toContain('R. Hale');

    // What was done, and what is left, by the folder of the run; nothing is probed.
    const list = await site.laptop.matchmark(
      ['drill', site.planFile, '--list', '--json', '--resume', out, '--group', 'vault-1 data'],
      { env: LAB_ENV },
    );
    const { pulls, planned } = JSON.parse(list.stdout) as {
      planned: boolean;
      pulls: { name: string; groups: { watched: string; outcome: string }[] }[];
    };
    expect(planned).toBe(false);
    expect(pulls.slice(0, 2).map(({ name, groups }) => [name, groups[0]])).toMatchObject([
      ['vault-1/A/data0', { watched: 'whole', outcome: 'survived' }],
      ['vault-1/A/data1', { watched: 'whole', outcome: 'skipped' }],
    ]);

    // Another day: it goes on with what is left, and keeps what was measured.
    const again = await site.laptop.matchmark(
      ['drill', site.planFile, '--group', 'vault-1 data', '--resume', out, '--script', '--by', 'L. Moor'],
      { env: LAB_ENV, input: 'skip\nabort\n' },
    );
    expect(again.exitCode).toBe(3);
    const pulled = again.stdout
      .split('\n')
      .filter((line) => line.startsWith('{'))
      .map((line) => JSON.parse(line) as Event);
    expect(pulled[0]).toMatchObject({ event: 'watch', leftOut: [] });
    expect(pulled.filter(({ event }) => event === 'pull').map(({ name }) => name)[0]).toBe('vault-1/A/data1');
    expect(again.stderr).toContain('done before');
    const resumed = JSON.parse(readFileSync(path.join(out, 'matrix.json'), 'utf8')) as Matrix;
    expect(
      resumed.evidence[0]?.drills.map(({ outcome, pulled: thing, by }) => `${outcome} ${thing.name} ${by}`),
    ).toEqual([
      'survived vault-1/A/data0 R. Hale',
      'skipped vault-1/A/data1 L. Moor',
      expect.stringMatching(/^aborted .* L\. Moor$/),
    ]);
    expect(resumed.run.id).toBe(matrix.run.id);
  });
});
