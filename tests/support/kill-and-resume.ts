/** A check on the demo site, killed again and again at random moments and resumed, held against one that nobody disturbed. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { expect } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { runProgram, startProgram } from './program.js';

interface Told {
  readonly endpoints: readonly string[];
  readonly groups: readonly string[];
  readonly findings: readonly string[];
}

/** What a result says, without times and texts that quote them. */
function told(matrix: Matrix): Told {
  return {
    endpoints: matrix.endpoints.map(({ id, verdict }) => `${id} ${verdict}`),
    groups: matrix.groups.map(({ name, verdict }) => `${name} ${verdict}`),
    findings: matrix.findings.map(({ code, subject }) => `${code} ${subject}`).sort(),
  };
}

function matrixIn(folder: string): Matrix {
  return JSON.parse(readFileSync(path.join(folder, 'matrix.json'), 'utf8')) as Matrix;
}

/** Addresses that the journal of a folder holds as settled. */
function answersOfEvidence(folder: string): Set<string> {
  const file = path.join(folder, '.matchmark-journal');
  if (!existsSync(file)) return new Set();
  return new Set(
    readFileSync(file, 'utf8')
      .split('\n')
      .flatMap((line) => /^\{"kind":"sighting","sighting":\{"address":"([^"]+)"/.exec(line)?.[1] ?? []),
  );
}

/** `seed` makes the moments repeatable. */
export async function killAndResume(folder: string, kills: number, seed: number): Promise<void> {
  const cwd = folder;
  const demo = startProgram(['demo', '--stay', '--out', 'site'], { cwd });
  try {
    await demo.said(/stays up until Ctrl-C/);
    const plan = 'site/plan.yaml';
    const startedAt = performance.now();
    const undisturbed = await runProgram(['check', plan, '--out', 'whole'], { cwd });
    const wholeMs = performance.now() - startedAt;
    expect(undisturbed.status, undisturbed.err).toBe(1);
    const expected = told(matrixIn(path.join(folder, 'whole')));

    const out = path.join(folder, 'killed');
    let random = seed;
    let killed = 0;
    let runs = 0;
    let most = 0;
    while (killed < kills) {
      // A linear congruential generator (Numerical Recipes, §7.1; from memory).
      random = (Math.imul(random, 1_664_525) + 1_013_904_223) >>> 0;
      const momentMs = (random / 2 ** 32) * wholeMs;
      const goOn = existsSync(path.join(out, '.matchmark-journal'));
      const before = answersOfEvidence(out);
      const argv = goOn ? ['check', '--resume', 'killed'] : ['check', plan, '--out', 'killed'];
      const run = startProgram(argv, { cwd });
      const timer = setTimeout(() => run.child.kill('SIGKILL'), momentMs);
      const { signal, status, err } = await run.ended;
      clearTimeout(timer);
      runs += 1;
      if (signal === 'SIGKILL') killed += 1;
      if (signal !== 'SIGKILL') expect(status, err).toBe(1);
      if (!existsSync(path.join(out, '.matchmark-journal')) && existsSync(path.join(out, 'matrix.json'))) {
        // It came to its end first, or was killed after all was written: it says what an undisturbed run says.
        expect(told(matrixIn(out))).toEqual(expected);
        continue;
      }
      const after = answersOfEvidence(out);
      for (const address of before) expect(after, `${address} was settled and is lost`).toContain(address);
      most = Math.max(most, after.size);
      if (existsSync(path.join(out, 'matrix.json'))) matrixIn(out);
    }
    const argv = existsSync(path.join(out, '.matchmark-journal'))
      ? ['check', '--resume', 'killed']
      : ['check', plan, '--out', 'killed'];
    const last = await runProgram(argv, { cwd });
    expect(last.status, last.err).toBe(1);
    expect(told(matrixIn(out))).toEqual(expected);
    // The documents alone: no journal, no lock, nothing half.
    expect(readdirSync(out).sort()).toEqual(['matrix.html', 'matrix.json']);
    expect(most, `of ${runs} runs none got far enough to settle anything`).toBeGreaterThan(0);
  } finally {
    demo.child.kill('SIGTERM');
    await demo.ended;
  }
}
