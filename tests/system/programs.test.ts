import { execFileSync, spawn } from 'node:child_process';
import { chmodSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { programs } from '../../src/system/programs.js';

const node = process.execPath;
let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'matchmark-programs-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('run', () => {
  it('gives output, errors and exit code', async () => {
    const result = await programs.run(node, [
      '-e',
      'console.log("out");console.error("err");process.exit(3)',
    ]);
    expect(result).toEqual({ ran: true, exitCode: 3, stdout: 'out\n', stderr: 'err\n', timedOut: false });
  });

  it('speaks English', async () => {
    const result = await programs.run(node, ['-p', 'process.env.LC_ALL']);
    expect(result).toMatchObject({ stdout: 'C\n' });
  });

  it('says that a program is absent', async () => {
    expect(await programs.run('matchmark-no-such-program', [])).toMatchObject({
      ran: false,
      why: 'not-found',
    });
  });

  it.skipIf(process.platform === 'win32')('says that a program may not be run', async () => {
    const path = join(folder, 'forbidden');
    writeFileSync(path, '#!/bin/sh\n');
    chmodSync(path, 0o644);
    expect(await programs.run(path, [])).toMatchObject({ ran: false, why: 'not-permitted' });
  });

  it('ends a program at its time, and keeps what it had said', async () => {
    const startedAt = performance.now();
    const result = await programs.run(node, ['-e', 'console.log("so far");setInterval(()=>{},1e3)'], {
      timeoutMs: 2500,
    });
    expect(result).toMatchObject({ ran: true, timedOut: true, stdout: 'so far\n' });
    expect(performance.now() - startedAt).toBeLessThan(4500);
  });

  it('ends when interrupted', async () => {
    const controller = new AbortController();
    setTimeout(() => controller.abort(), 100);
    const result = await programs.run(node, ['-e', 'setInterval(()=>{},1e3)'], { signal: controller.signal });
    expect(result).toEqual({ ran: false, why: 'failed', detail: 'interrupted' });
  });

  it.skipIf(process.platform === 'win32')('does not wait for what a killed program left behind', async () => {
    const startedAt = performance.now();
    const result = await programs.run('sh', ['-c', 'sleep 4 & echo begun; wait'], { timeoutMs: 200 });
    expect(result).toMatchObject({ ran: true, timedOut: true });
    expect(performance.now() - startedAt).toBeLessThan(3000);
  });

  it('cuts endless output and ends the program', async () => {
    const startedAt = performance.now();
    const result = await programs.run(node, ['-e', 'for(;;)process.stdout.write("x".repeat(1e4))'], {
      maxBytes: 50_000,
      timeoutMs: 8000,
    });
    expect(result).toMatchObject({ ran: true, timedOut: false });
    if (result.ran) expect(result.stdout.length).toBeLessThanOrEqual(50_000);
    expect(performance.now() - startedAt).toBeLessThan(3000);
  });
});

describe('start', () => {
  it('streams bytes while the program runs, until stopped', async () => {
    const stream = programs.start(node, [
      '-e',
      'process.stdout.write(Buffer.from([0,255,10]));setInterval(()=>{},1e3)',
    ]);
    if ('ran' in stream) throw new Error('not started');
    const chunks: Uint8Array[] = [];
    for await (const chunk of stream.stdout) {
      chunks.push(chunk);
      stream.stop();
    }
    expect(Buffer.concat(chunks)).toEqual(Buffer.from([0, 255, 10]));
    expect(await stream.ended).toBeUndefined();
  });

  it('ends with the exit code and what was said on stderr', async () => {
    const stream = programs.start(node, ['-e', 'console.error("why");process.exit(2)']);
    if ('ran' in stream) throw new Error('not started');
    for await (const _ of stream.stdout) expect.unreachable();
    expect(await stream.ended).toBe(2);
    expect(stream.stderr()).toBe('why\n');
  });

  it('leaves no process behind', async () => {
    const stream = programs.start(node, ['-e', 'setInterval(()=>{},1e3) // matchmark-orphan-mark']);
    if ('ran' in stream) throw new Error('not started');
    stream.stop();
    await stream.ended;
    const running = execFileSync('ps', ['-eo', 'args'], { encoding: 'utf8' });
    expect(running.split('\n').filter((line) => line.includes('matchmark-orphan-mark'))).toEqual([]);
  });

  it('says that a program is absent', () => {
    expect(programs.start('matchmark-no-such-program', [])).toMatchObject({ ran: false, why: 'not-found' });
  });
});

/** Running processes whose command line holds this mark. */
function running(mark: string): string[] {
  const list = execFileSync('ps', ['-eo', 'args'], { encoding: 'utf8' });
  return list.split('\n').filter((line) => line.includes(mark) && !line.includes('ps -eo'));
}

async function gone(mark: string): Promise<void> {
  for (let tries = 0; tries < 60 && running(mark).length > 0; tries += 1)
    await new Promise((resolve) => setTimeout(resolve, 100));
  expect(running(mark)).toEqual([]);
}

describe.skipIf(process.platform === 'win32')('a program behind a shell wrapper', () => {
  const wrapper = (seconds: string): string => {
    const file = join(folder, `wrapper-${seconds}`);
    writeFileSync(file, `#!/bin/sh\necho begun\nsleep ${seconds}\necho never\n`);
    chmodSync(file, 0o755);
    return file;
  };

  it('is ended with all that it started, and nobody waits for it', async () => {
    const stream = programs.start(wrapper('30071'), []);
    if ('ran' in stream) throw new Error('not started');
    const startedAt = performance.now();
    for await (const _ of stream.stdout) stream.stop();
    expect(await stream.ended).toBeUndefined();
    expect(performance.now() - startedAt).toBeLessThan(2500);
    await gone('sleep 30071');
  });

  it('is ended at its time', async () => {
    const result = await programs.run(wrapper('30072'), [], { timeoutMs: 200 });
    expect(result).toMatchObject({ ran: true, timedOut: true, stdout: 'begun\n' });
    await gone('sleep 30072');
  });

  it('does not hold us by a process of its own that left the group', async () => {
    const startedAt = performance.now();
    const result = await programs.run('sh', ['-c', 'setsid sleep 5 & sleep 0.3; echo begun']);
    expect(result).toMatchObject({ ran: true, exitCode: 0, stdout: 'begun\n' });
    expect(performance.now() - startedAt).toBeLessThan(2500);
  });

  it.each([
    [
      'one that is read as it goes',
      "programs.start(PROGRAM, []); for await (const _ of stream.stdout) process.stdout.write('begun');",
      '30073',
    ],
    [
      'one that is waited for',
      "programs.run(PROGRAM, []); setTimeout(() => process.stdout.write('begun'), 300); await stream;",
      '30074',
    ],
  ])('does not outlive us, even where we are killed: %s', async (_what, waits, mark) => {
    const built = join(folder, 'programs.mjs');
    await build({
      entryPoints: [fileURLToPath(new URL('../../src/system/programs.ts', import.meta.url))],
      bundle: true,
      platform: 'node',
      format: 'esm',
      outfile: built,
      banner: { js: "import { createRequire as r } from 'node:module';const require = r(import.meta.url);" },
    });
    const main = join(folder, 'main.mjs');
    writeFileSync(
      main,
      `import { programs } from ${JSON.stringify(built)};
       const stream = ${waits.replace('PROGRAM', JSON.stringify(wrapper(mark)))}`,
    );
    const parent = spawn(process.execPath, [main], { stdio: ['ignore', 'pipe', 'inherit'] });
    await new Promise((resolve) => parent.stdout.once('data', resolve));
    expect(running(`sleep ${mark}`)).not.toEqual([]);
    parent.kill('SIGKILL');
    await gone(`sleep ${mark}`);
  });
});
