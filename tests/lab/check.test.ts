import { readFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { rounds } from '../support/rounds.js';
import { labRefusal } from './support/lab.js';
import { programsRefusal } from './support/services.js';
import { buildTwoArrays, LAB_ENV, type TwoArrays } from './support/two-arrays.js';

const refusal = (await labRefusal()) ?? programsRefusal('snmpd', 'openssl', 'nft', 'ping');
if (refusal !== undefined) console.warn(`SKIPPED: the main job in the lab: ${refusal}`);

async function check(
  site: TwoArrays,
  ...more: string[]
): Promise<{ matrix: Matrix; exitCode: number | null; stderr: string }> {
  const out = path.join(site.lab.folder, 'run');
  const ran = await site.laptop.matchmark(['check', site.planFile, '--out', out, '--json', ...more], {
    env: LAB_ENV,
  });
  if (ran.stdout === '') throw new Error(`no result: exit ${ran.exitCode}: ${ran.stderr}`);
  return { matrix: JSON.parse(ran.stdout) as Matrix, exitCode: ran.exitCode, stderr: ran.stderr };
}

/** What the run asks somebody to act on, as `code subject`. */
const ROUNDS = rounds(3, 10);

const toAct = (matrix: Matrix): string[] =>
  matrix.findings
    .filter(({ severity }) => severity !== 'note')
    .map(({ code, subject }) => `${code} ${subject}`)
    .sort();

describe.skipIf(refusal !== undefined)('matchmark check on two arrays of two controllers', () => {
  describe('built as planned', () => {
    let site: TwoArrays;
    beforeAll(async () => {
      site = await buildTwoArrays();
    });
    afterAll(() => site?.lab.remove());

    it('finds nothing to act on, and every endpoint matches', async () => {
      const { matrix, exitCode } = await check(site);
      expect(toAct(matrix)).toEqual([]);
      expect(matrix.endpoints.map(({ id, verdict }) => `${id} ${verdict}`)).toEqual(
        matrix.endpoints.map(({ id }) => `${id} matches`),
      );
      expect(matrix.endpoints).toHaveLength(12);
      expect(matrix.groups.map(({ verdict }) => verdict)).toEqual([
        // Both management ports are planned on the one management switch: true, and not what was asked to be independent.
        'at-risk',
        'at-risk',
        'redundant',
        'redundant',
      ]);
      expect(exitCode).toBe(0);
    });

    it('says of SNMP what snmpget says of the same agent', async () => {
      const { matrix } = await check(site);
      const seen = matrix.endpoints.find(({ id }) => id === 'vault-1/A/mgmt')?.sightings[0]?.identity.snmp;
      for (const [oid, value] of [
        ['1.3.6.1.2.1.1.5.0', seen?.sysName],
        ['1.3.6.1.2.1.1.1.0', seen?.sysDescr],
        ['1.3.6.1.2.1.1.6.0', seen?.sysLocation],
      ] as const) {
        const said = await site.laptop.must('snmpget', ['-v2c', '-c', 'lab-read', '-Oqv', '192.0.2.11', oid]);
        expect(value).toBe(said.trim().replace(/^"|"$/g, ''));
      }
    });

    it('never writes the community anywhere', async () => {
      const { stderr } = await check(site);
      const folder = path.join(site.lab.folder, 'run');
      for (const text of [
        stderr,
        ...['matrix.json', 'matrix.html'].map((name) => readFileSync(path.join(folder, name), 'utf8')),
      ])
        expect(text).not.toContain(LAB_ENV.SITE_SNMP);
    });

    it('writes what it has when it is interrupted, exits 130, and can be resumed', async () => {
      // A network that is routed nowhere keeps the run busy: nobody answers for it.
      await site.laptop.exec('nft', ['-f', '-'], {
        input:
          'table inet hold { chain o { type filter hook output priority 0; tcp dport { 22, 443, 3260 } drop; icmp type echo-request drop; }; }',
      });
      const out = path.join(site.lab.folder, 'interrupted');
      const running = site.laptop.start('node', ['bin/matchmark.js', 'check', site.planFile, '--out', out], {
        env: LAB_ENV,
      });
      await running.waitFor(/Asking|Looking/);
      await new Promise((resolve) => setTimeout(resolve, 1500));
      process.kill(running.child.pid ?? 0, 'SIGINT');
      const exitCode = await new Promise((resolve) => running.child.on('close', resolve));
      await site.laptop.exec('nft', ['delete', 'table', 'inet', 'hold']);
      expect(exitCode).toBe(130);
      const written = JSON.parse(readFileSync(path.join(out, 'matrix.json'), 'utf8')) as Matrix;
      expect(written.run.complete).toBe(false);
      expect(written.endpoints).toHaveLength(12);
      expect(written.summary.missing).toBe(0);

      const resumed = await site.laptop.matchmark(['check', site.planFile, '--resume', out, '--json'], {
        env: LAB_ENV,
      });
      expect(resumed.exitCode).toBe(0);
      const whole = JSON.parse(resumed.stdout) as Matrix;
      expect(whole.run).toMatchObject({ id: written.run.id, complete: true });
      expect(whole.summary).toMatchObject({ matches: 12, differs: 0, missing: 0, unproven: 0 });
    });
  });

  describe('with planted faults, and a fifth of the packets to one controller lost', () => {
    let site: TwoArrays;
    beforeAll(async () => {
      site = await buildTwoArrays({
        withoutSsh: ['vault-1-a'],
        expiredCertificate: ['vault-1-a'],
        swapped: ['vault-2-a', 'vault-2-b'],
      });
      // A management port that was never cabled.
      await site.controllers['vault-1-b'].linkUp('mgmt', false);
      // A second data path that is there and silent.
      await site.controllers['vault-2-b'].must('nft', ['-f', '-'], {
        input:
          'table inet quiet { chain in { type filter hook input priority 0; iifname "data1" tcp dport 3260 drop; }; }',
      });
      await site.controllers['vault-1-a'].dropIncoming(20);
    });
    afterAll(() => site?.lab.remove());

    // Three here, ten by `npm run test:long`.
    it('finds every one of them and nothing else, run after run', async () => {
      const seconds: number[] = [];
      for (let round = 1; round <= ROUNDS; round += 1) {
        const startedAt = performance.now();
        const { matrix, exitCode } = await check(site);
        seconds.push((performance.now() - startedAt) / 1000);
        // Where packets were lost in the measurement too, that is said; of the controller that loses them alone.
        const found = toAct(matrix).filter((line) => !/^packets-lost vault-1\/A\//.test(line));
        expect(found, `round ${round}`).toEqual([
          'certificate-expired vault-1/A/mgmt',
          'endpoint-missing vault-1/B/mgmt',
          // DESIGN 6: a path is live when its planned services answer and the box is the right one.
          'group-lost vault-2 mgmt',
          'path-missing vault-1/B/mgmt',
          'path-missing vault-2/A/mgmt',
          'path-missing vault-2/B/data1',
          'path-missing vault-2/B/mgmt',
          'service-missing vault-2/B/data1',
          'service-refused vault-1/A/mgmt',
          // A management path works while any of its services does: what refuses is its own finding.
          'single-point vault-1 mgmt',
          'wrong-device vault-2/A/mgmt',
          'wrong-device vault-2/B/mgmt',
        ]);
        expect(exitCode).toBe(1);
      }
      console.info(`${ROUNDS} runs took ${seconds.map((value) => value.toFixed(1)).join(', ')} s`);
    }, 420_000);
  });
});
