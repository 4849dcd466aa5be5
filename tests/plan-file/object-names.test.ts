/** Names that every JavaScript object has already: as names of a plan they are names and nothing else (ECMA-262 §20.1.3, §B.2.2). */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { expect, onTestFinished, test } from 'vitest';
import { type LoadedPlan, loadPlan } from '../../src/plan-file/load.js';
import { describeIssue } from '../../src/plan-file/wording.js';

async function load(name: string): Promise<LoadedPlan> {
  const folder = mkdtempSync(path.join(tmpdir(), 'matchmark-names-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  const file = path.join(folder, 'plan.yaml');
  writeFileSync(
    file,
    `plan: 1
networks: [{ name: ${name}, cidr: 192.0.2.0/24 }]
snmp:
  ${name}: { version: 2c, community: env:READ }
devices:
  - name: ${name}
    snmp: ${name}
    controllers: { ${name}: { sysName: vault } }
endpoints:
  - { device: ${name}, controller: ${name}, port: a, address: 192.0.2.10, network: ${name}, services: https, group: ${name} }
`,
  );
  return loadPlan(file);
}

test.each(['constructor', 'toString', 'hasOwnProperty'])('everything may be called %s', async (name) => {
  const loaded = await load(name);
  expect(loaded.issues.filter(({ level }) => level === 'error').map(describeIssue)).toEqual([]);
  if (!loaded.ok) return;
  const { plan } = loaded;
  expect(Object.keys(plan.snmp)).toEqual([name]);
  expect(plan.endpoints[0]).toMatchObject({ device: name, controller: name, network: name, group: name });
  expect(plan.devices[0]?.controllers).toEqual({ [name]: expect.objectContaining({ sysName: 'vault' }) });
});

test('a credential called __proto__ is refused and changes no object', async () => {
  const loaded = await load('__proto__');
  expect(loaded.ok).toBe(false);
  expect(loaded.issues.map(({ code }) => code)).toContain('unknown-credential');
  const plain: Readonly<Record<string, unknown>> = {};
  expect([plain.community, plain.sysName]).toEqual([undefined, undefined]);
});
