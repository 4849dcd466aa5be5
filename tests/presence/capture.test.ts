/** A capture program behind a shell wrapper (some laptops have one that asks for a password, or sets things up). */
import { execFileSync } from 'node:child_process';
import { chmodSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openCapture } from '../../src/presence/capture.js';
import type { Programs } from '../../src/system/program-types.js';
import { programs } from '../../src/system/programs.js';
import { aSystem, CLOCK } from '../system/fakes.js';

let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'matchmark-capture-'));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

/** The real way to programs, but `tcpdump` is this script. */
function wrapped(name: string, script: string): Programs {
  const file = join(folder, name);
  writeFileSync(file, `#!/bin/sh\n${script}\n`);
  chmodSync(file, 0o755);
  return { ...programs, start: (_command, _args, options) => programs.start(file, [], options) };
}

const running = (mark: string): boolean =>
  execFileSync('ps', ['-eo', 'args'], { encoding: 'utf8' })
    .split('\n')
    .some((line) => line.trim() === mark);

describe.skipIf(process.platform === 'win32')('a capture program behind a wrapper', () => {
  it('that never begins is given up, and does not outlive it', async () => {
    const system = aSystem(wrapped('never', 'sleep 30081\necho'));
    const startedAt = performance.now();
    const opened = await openCapture({ system, clock: CLOCK }, 'tcpdump', 'eth0', () => {});
    expect(opened).toMatchObject({ ok: false, why: 'failed' });
    expect(performance.now() - startedAt).toBeLessThan(8000);
    expect(running('sleep 30081')).toBe(false);
  }, 20_000);

  it('is ended with all that it started, and `ended` resolves', async () => {
    const system = aSystem(wrapped('listens', 'echo "listening on eth0" >&2\nsleep 30082\necho'));
    const opened = await openCapture({ system, clock: CLOCK }, 'tcpdump', 'eth0', () => {});
    if (!opened.ok) throw new Error(opened.reason);
    opened.capture.stop();
    expect(await opened.capture.ended).toBeUndefined();
    expect(running('sleep 30082')).toBe(false);
  }, 20_000);
});
