/**
 * `npm test`: every test of CI, in two turns, and their sum at the end.
 * First what mostly waits (lab) beside what computes (unit, page) and then what starts programs (release); then what holds times, in four lanes
 * that wait. More at a time was tried: two processors full of work make it all slower, and no sooner done.
 */
import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

const VITEST = fileURLToPath(new URL('../node_modules/vitest/vitest.mjs', import.meta.url));
const folder = mkdtempSync(path.join(tmpdir(), 'matchmark-tests-'));

/**
 * Runs these projects; what it prints comes when it has ended, so that two runs do not mix.
 * @param {string[]} projects
 * @returns {Promise<{ projects: string[], status: number | null, report: string }>}
 */
function run(projects) {
  const report = path.join(folder, `${projects.join('-')}.json`);
  const args = [
    'run',
    ...projects.flatMap((project) => ['--project', project]),
    ...['--reporter=default', '--reporter=json', `--outputFile.json=${report}`],
  ];
  const child = spawn(process.execPath, [VITEST, ...args], { stdio: ['ignore', 'pipe', 'pipe'] });
  /** @type {Buffer[]} */
  const printed = [];
  for (const stream of [child.stdout, child.stderr]) stream.on('data', (chunk) => printed.push(chunk));
  return new Promise((resolve, reject) => {
    child.once('error', reject);
    child.once('close', (status) => {
      process.stdout.write(Buffer.concat(printed));
      resolve({ projects, status, report });
    });
  });
}

const ran = (
  await Promise.all([
    run(['lab']).then((one) => [one]),
    run(['unit', 'page']).then(async (one) => [one, await run(['release'])]),
  ])
).flat();
const HOLDING_TIMES = ['lab-times', 'lab-table', 'lab-follow', 'unit-waiting'];
ran.push(...(await Promise.all(HOLDING_TIMES.map((project) => run([project])))));

const sum = { passed: 0, failed: 0, skipped: 0 };
for (const { projects, status, report } of ran) {
  /** @type {import('vitest/node').JsonTestResults} */
  let result;
  try {
    result = JSON.parse(readFileSync(report, 'utf8'));
  } catch {
    console.log(`${projects.join(', ')}: ended with ${status} and no report`);
    sum.failed += 1;
    continue;
  }
  sum.passed += result.numPassedTests;
  sum.failed += result.numFailedTests;
  sum.skipped += result.numPendingTests + result.numTodoTests;
  // Once more, last of all: who reads the end of a long log reads what failed.
  for (const file of result.testResults) {
    const where = path.relative(process.cwd(), file.name);
    const failed = file.assertionResults.filter((test) => test.status === 'failed');
    for (const test of failed)
      console.log(
        `FAILED ${where} > ${test.fullName}\n  ${(test.failureMessages ?? []).join('\n').slice(0, 1500)}`,
      );
    if (file.status === 'failed' && failed.length === 0) console.log(`FAILED ${where}\n  ${file.message}`);
  }
  if (status !== 0 && result.numFailedTests === 0) {
    console.log(`${projects.join(', ')}: ended with ${status}`);
    sum.failed += 1;
  }
}
rmSync(folder, { recursive: true, force: true });
console.log(`tests: ${sum.passed} passed, ${sum.failed} failed, ${sum.skipped} skipped`);
process.exitCode = sum.failed === 0 && sum.passed > 0 ? 0 : 1;
