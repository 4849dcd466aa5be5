import { existsSync } from 'node:fs';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { Command } from 'commander';
import { afterEach, beforeEach, expect, test } from 'vitest';
import type { CliDeps } from '../../src/cli/common.js';
import { registerDemo } from '../../src/cli/demo.js';
import { openOutput } from '../../src/cli/output.js';
import { PLANTED } from '../../src/demo/planted.js';
import type { Matrix } from '../../src/matrix/matrix.js';
import { loadPlan } from '../../src/plan-file/load.js';
import { probeTcp } from '../../src/probe/tcp.js';

let folder: string;

beforeEach(async () => {
  folder = await mkdtemp(path.join(tmpdir(), 'matchmark-demo-'));
});

afterEach(() => rm(folder, { recursive: true, force: true }));

async function run(args: readonly string[], signal = new AbortController().signal) {
  const written = { stdout: '', stderr: '' };
  const output = (name: 'stdout' | 'stderr') =>
    openOutput({
      write: (text: string) => {
        written[name] += text;
      },
      isTTY: false,
    });
  const deps: CliDeps = {
    stdout: output('stdout'),
    stderr: output('stderr'),
    env: process.env,
    platform: process.platform,
    cwd: folder,
    signal,
    date: () => new Date(),
  };
  let status = -1;
  const program = new Command().exitOverride();
  registerDemo(program, deps, (value) => {
    status = value;
  });
  await program.parseAsync(['demo', ...args], { from: 'user' });
  return { ...written, status };
}

test('demo writes the page, the result and the plan, says what was planted and ends with 0', async () => {
  const { stdout, stderr, status } = await run(['--out', 'first']);
  expect({ stdout, status }).toMatchObject({
    stdout: expect.stringContaining(
      `All ${PLANTED.length} were found, and every other finding above a note follows from them.`,
    ),
    status: 0,
  });
  const out = path.join(folder, 'first');
  expect(stdout).toContain(path.join(out, 'matrix.html'));
  expect(stderr).not.toMatch(/warning/i);
  expect(await readFile(path.join(out, 'matrix.html'), 'utf8')).toContain('Harbour Library');
  const matrix = JSON.parse(await readFile(path.join(out, 'matrix.json'), 'utf8')) as Matrix;
  expect(matrix.format).toBe('matchmark.matrix/1');
  // The plan beside it is a plan like any other, and the one that the result was made from.
  const loaded = await loadPlan(path.join(out, 'plan.yaml'));
  expect(loaded.ok && loaded.plan.files).toEqual(matrix.plan.files);
  expect(loaded.issues.filter(({ level }) => level === 'error')).toEqual([]);
}, 60_000);

test('with --json standard output is the result alone', async () => {
  const { stdout, stderr, status } = await run(['--json', '--out', 'second']);
  expect((JSON.parse(stdout) as Matrix).plan.site).toBe('Harbour Library');
  expect(stderr).toContain('What was planted');
  expect(status).toBe(0);
}, 60_000);

test('an interrupted demo ends with 130 and writes what it had', async () => {
  const stop = new AbortController();
  setTimeout(() => stop.abort(), 700);
  const { status } = await run(['--out', 'third'], stop.signal);
  expect(status).toBe(130);
  const matrix = JSON.parse(await readFile(path.join(folder, 'third', 'matrix.json'), 'utf8')) as Matrix;
  expect(matrix.run.complete).toBe(false);
}, 60_000);

test.runIf(process.platform === 'linux')(
  '--stay keeps the site up until Ctrl-C, names what to try, and then it is down',
  async () => {
    const stop = new AbortController();
    const staying = run(['--stay', '--out', 'fourth'], stop.signal);
    const plan = path.join(folder, 'fourth', 'plan.yaml');
    // The page is written before the site is left to itself.
    await expect
      .poll(() => existsSync(path.join(folder, 'fourth', 'matrix.html')), { timeout: 50_000 })
      .toBe(true);
    const loaded = await loadPlan(plan);
    if (!loaded.ok) throw new Error('no plan');
    const endpoint = loaded.plan.endpoints.find(({ id }) => id === 'vault-1/A/mgmt');
    const target = {
      address: endpoint?.address ?? '',
      service: endpoint?.services[0] ?? { name: 'https', protocol: 'tcp' as const, port: 0 },
    };
    const knock = () => probeTcp(target, { timeoutMs: 2_000, attempts: 1 }, new AbortController().signal);
    expect(await knock()).toMatchObject({ outcome: 'accepted' });
    stop.abort();
    const { stdout, status } = await staying;
    expect(status).toBe(0);
    for (const name of ['follow', 'check', 'survey', 'drill', 'attest', 'report', 'seal', 'verify'])
      expect(stdout).toMatch(new RegExp(`^  matchmark ${name} .*fourth`, 'm'));
    expect(stdout).toContain('The site is down.');
    expect(await knock()).toMatchObject({ outcome: 'refused' });
  },
  60_000,
);
