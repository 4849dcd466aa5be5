/** Factory defaults, from the survey to the configured check (issue: who is really on the wire). */
import { mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import type { Survey } from '../../src/matrix/survey.js';
import { Lab, type LabHost, type LabSwitch, labRefusal } from './support/lab.js';
import { startEquipment } from './support/services.js';
import { type Lacking, pathWithout } from './support/without.js';

const refusal = await labRefusal();
if (refusal !== undefined) console.warn(`SKIPPED: factory defaults in the lab: ${refusal}`);

const DEFAULT = '192.0.2.200';
const PRINTER = '00:00:5e:00:53:77';
const VAULT_1 = '00:00:5e:00:53:11';
const VAULT_2 = '00:00:5e:00:53:21';

const PLAN = `plan: 1
site: { name: Harbour Library }
networks:
  - { name: mgmt, cidr: 192.0.2.0/24, gateway: 192.0.2.1, routed: false }
devices:
  - { name: vault-1, default-addresses: [${DEFAULT}] }
  - { name: vault-2, default-addresses: [${DEFAULT}] }
endpoints:
  - { device: vault-1, port: mgmt, role: management, network: mgmt, address: 192.0.2.11, mac: "${VAULT_1}", services: http }
  - { device: vault-2, port: mgmt, role: management, network: mgmt, address: 192.0.2.21, mac: "${VAULT_2}", services: http }
`;

/** Root with a capture program; root with arping; a user without any right. */
const WAYS: readonly [string, readonly Lacking[], boolean][] = [
  ['by capture', ['arping'], false],
  ['by arping', ['tcpdump', 'dumpcap'], false],
  ['by the neighbour table alone, without rights', ['tcpdump', 'dumpcap', 'arping'], true],
];

describe.skipIf(refusal !== undefined)('factory default addresses', () => {
  let lab: Lab;
  let bench: LabSwitch;
  let laptop: LabHost;
  let vault1: LabHost;
  let vault2: LabHost;
  let printer: LabHost;
  let plan: string;

  beforeAll(async () => {
    lab = new Lab();
    bench = await lab.addSwitch('bench');
    laptop = await lab.addHost('laptop', [{ switch: bench, name: 'eth0', addresses: ['192.0.2.5/24'] }]);
    await lab.addHost('gateway', [{ switch: bench, name: 'eth0', addresses: ['192.0.2.1/24'] }]);
    vault1 = await lab.addHost('vault-1', [{ switch: bench, name: 'mgmt', mac: VAULT_1 }]);
    vault2 = await lab.addHost('vault-2', [{ switch: bench, name: 'mgmt', mac: VAULT_2 }]);
    printer = await lab.addHost('printer', [{ switch: bench, name: 'eth0', mac: PRINTER }]);
    for (const host of [vault1, vault2, printer])
      await startEquipment(host, { web: [{ port: 80, title: `${host.name} console` }] });
    const folder = path.join(lab.folder, 'plan');
    mkdirSync(folder);
    plan = path.join(folder, 'plan.yaml');
    writeFileSync(plan, PLAN);
  });
  afterAll(() => lab?.remove());

  interface Ran<Result> {
    readonly result: Result;
    readonly exitCode: number | null;
  }

  async function matchmark<Result>(
    args: readonly string[],
    lacking: readonly Lacking[] = [],
    asNobody = false,
  ): Promise<Ran<Result>> {
    await laptop.must('ip', ['neigh', 'flush', 'dev', 'eth0']);
    const out = path.join(lab.folder, `out-${asNobody ? 'nobody' : 'root'}`);
    const ran = await laptop.matchmark([...args, '--json', '--out', out], {
      asNobody,
      env: { PATH: pathWithout(lab, ...lacking) },
    });
    if (ran.stdout === '') throw new Error(`exit ${ran.exitCode}: ${ran.stderr}`);
    return { result: JSON.parse(ran.stdout) as Result, exitCode: ran.exitCode };
  }

  const acted = (findings: Matrix['findings']): string[] =>
    findings
      .filter(({ severity }) => severity !== 'note')
      .map(({ code, subject }) => `${code} ${subject}`)
      .sort();

  describe.each(WAYS)('%s', (_name, lacking, asNobody) => {
    it('survey: a printer already holds the default address, named by its MAC', async () => {
      await printer.addAddress('eth0', `${DEFAULT}/24`);
      try {
        const { result, exitCode } = await matchmark<Survey>(['survey', plan], lacking, asNobody);
        expect(acted(result.findings)).toEqual([`default-address-taken ${DEFAULT}`]);
        expect(result.findings.map((finding) => JSON.stringify(finding)).join()).toContain(PRINTER);
        expect(result.entries).toMatchObject([{ address: DEFAULT, macs: [PRINTER], kind: 'default' }]);
        expect([...result.silent].sort()).toEqual(['192.0.2.11', '192.0.2.21']);
        expect(exitCode).toBe(1);
      } finally {
        await printer.removeAddress('eth0', `${DEFAULT}/24`);
      }
    });

    it('power-on: one array at its default, and only that one looked at, has nothing wrong', async () => {
      await vault1.addAddress('mgmt', `${DEFAULT}/24`);
      try {
        const { result } = await matchmark<Matrix>(
          ['check', plan, '--stage', 'power-on', '--only', 'vault-1'],
          lacking,
          asNobody,
        );
        expect(result.defaults).toMatchObject([{ address: DEFAULT, macs: [VAULT_1], outcome: 'answers' }]);
        expect(result.findings.filter(({ severity }) => severity === 'stop')).toEqual([]);
        expect(result.endpoints.find(({ id }) => id === 'vault-1/mgmt')?.verdict).toBe('matches');
      } finally {
        await vault1.removeAddress('mgmt', `${DEFAULT}/24`);
      }
    });

    it('configured: an array left on its default is named, since its own address is missing', async () => {
      await vault1.addAddress('mgmt', '192.0.2.11/24');
      await vault2.addAddress('mgmt', `${DEFAULT}/24`);
      try {
        const { result } = await matchmark<Matrix>(['check', plan], lacking, asNobody);
        expect(acted(result.findings)).toContain(`default-address-still-answers ${DEFAULT}`);
        expect(acted(result.findings)).toContain('endpoint-missing vault-2/mgmt');
        const left = result.findings.find(({ code }) => code === 'default-address-still-answers');
        expect(left?.message).toContain('vault-2');
        expect(result.endpoints.find(({ id }) => id === 'vault-1/mgmt')?.verdict).toBe('matches');
      } finally {
        await vault1.removeAddress('mgmt', '192.0.2.11/24');
        await vault2.removeAddress('mgmt', `${DEFAULT}/24`);
      }
    });
  });

  it.each(WAYS.slice(0, 2))(
    'power-on: two arrays on one default at once clash, with both MACs and an order (%s)',
    async (_name, lacking) => {
      await vault1.addAddress('mgmt', `${DEFAULT}/24`);
      await vault2.addAddress('mgmt', `${DEFAULT}/24`);
      try {
        const { result, exitCode } = await matchmark<Matrix>(['check', plan, '--stage', 'power-on'], lacking);
        const clash = result.findings.find(({ code }) => code === 'default-address-clash');
        expect(clash).toMatchObject({ severity: 'stop', subject: DEFAULT });
        expect(JSON.stringify(clash)).toContain(VAULT_1);
        expect(JSON.stringify(clash)).toContain(VAULT_2);
        expect(result.defaults[0]).toMatchObject({ outcome: 'clash' });
        expect(JSON.stringify(result.findings)).toContain('--only vault-1');
        expect(exitCode).toBe(1);
      } finally {
        await vault1.removeAddress('mgmt', `${DEFAULT}/24`);
        await vault2.removeAddress('mgmt', `${DEFAULT}/24`);
      }
    },
  );

  it('power-on: by the neighbour table alone two devices on one default are found, or said not to be excluded', async () => {
    await vault1.addAddress('mgmt', `${DEFAULT}/24`);
    await vault2.addAddress('mgmt', `${DEFAULT}/24`);
    try {
      const [, lacking, asNobody] = WAYS[2] ?? ['', [], true];
      const { result } = await matchmark<Matrix>(['check', plan, '--stage', 'power-on'], lacking, asNobody);
      const said = JSON.stringify([
        result.defaults[0]?.reasons,
        result.endpoints.map(({ reasons }) => reasons),
      ]);
      if (result.defaults[0]?.outcome !== 'clash') expect(said).toMatch(/second device .*stays hidden/);
      expect(JSON.stringify(result.findings)).toContain('--only vault-1');
    } finally {
      await vault1.removeAddress('mgmt', `${DEFAULT}/24`);
      await vault2.removeAddress('mgmt', `${DEFAULT}/24`);
    }
  });

  it('a default on a network that the laptop is not on is unproven, with the commands that add and remove an address', async () => {
    const other = path.join(path.dirname(plan), 'other.yaml');
    writeFileSync(other, PLAN.replaceAll(DEFAULT, '203.0.113.200'));
    const { result } = await matchmark<Matrix>(['check', other, '--stage', 'power-on']);
    expect(result.defaults).toMatchObject([{ address: '203.0.113.200', outcome: 'unproven' }]);
    expect(result.defaults[0]?.reasons.join(' ')).toMatch(/ip address add 203\.0\.113\.\d+\/24 dev eth0/);
    expect(result.defaults[0]?.reasons.join(' ')).toMatch(/ip address del 203\.0\.113\.\d+\/24 dev eth0/);
    expect(result.summary.missing).toBe(0);
  });

  it('check --since tells what is new, gone and moved after the survey', async () => {
    const out = path.join(lab.folder, 'before');
    await printer.addAddress('eth0', '192.0.2.60/24');
    await printer.addAddress('eth0', '192.0.2.61/24');
    await laptop.must('ip', ['neigh', 'flush', 'dev', 'eth0']);
    const surveyed = await laptop.matchmark(['survey', plan, '--networks', '--json', '--out', out]);
    const survey = JSON.parse(surveyed.stdout) as Survey;
    expect(survey.entries.map(({ address, kind }) => `${kind} ${address}`)).toEqual([
      // The gateway of the plan, in a network that was swept.
      'other 192.0.2.1',
      'other 192.0.2.60',
      'other 192.0.2.61',
    ]);
    expect(survey.asked.networks).toEqual([{ network: 'mgmt', addresses: 254 }]);

    await vault1.addAddress('mgmt', '192.0.2.11/24');
    await printer.addAddress('eth0', '192.0.2.21/24');
    try {
      const { result } = await matchmark<Matrix>(['check', plan, '--since', path.join(out, 'survey.json')]);
      expect(acted(result.findings)).toContain('wrong-device vault-2/mgmt');
      const moved = result.findings.find(({ code }) => code === 'survey-moved');
      expect(moved).toMatchObject({ subject: '192.0.2.60' });
      expect(moved?.message).toContain('answers at 192.0.2.21 now');
    } finally {
      await vault1.removeAddress('mgmt', '192.0.2.11/24');
      // The first address last: with it Linux takes the others away.
      for (const last of [21, 61, 60]) await printer.removeAddress('eth0', `192.0.2.${last}/24`);
    }
  });
});
