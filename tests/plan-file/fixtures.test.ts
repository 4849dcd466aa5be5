import { copyFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { expect, test } from 'vitest';
import { loadEquipment, loadPlan } from '../../src/plan-file/load.js';
import { generateHall } from '../support/generate-hall.js';
import { workMs } from '../support/work.js';
import { folder, lines, PLANS } from './helpers.js';

test.each([
  ['one-array', 8, 2],
  ['two-arrays-iscsi', 17, 6],
  ['unified-array', 11, 4],
])('the example plan %s reads with nothing to say', async (name, endpoints, groups) => {
  const loaded = await loadPlan(`${PLANS}${name}/plan.yaml`);
  expect(lines(loaded.issues).filter((line) => !line.includes('"adapter"'))).toEqual([]);
  expect(loaded.ok && [loaded.plan.endpoints.length, loaded.plan.groups.length]).toEqual([endpoints, groups]);
});

test('a hall of forty racks, as its example makes it, reads in a second or two', async () => {
  const hall = generateHall(40);
  const directory = folder({ 'hall.csv': hall.csv });
  copyFileSync(`${PLANS}hall-40/plan.yaml`, path.join(directory, 'plan.yaml'));
  const started = workMs();
  const loaded = await loadPlan(path.join(directory, 'plan.yaml'));
  expect(workMs() - started).toBeLessThan(5000);
  expect(lines(loaded.issues)).toEqual([]);
  expect(hall.endpoints).toBe(1000);
  expect(loaded.ok && loaded.plan.endpoints.length).toBe(1000);
  const addresses = loaded.ok ? loaded.plan.endpoints.map((one) => one.address) : [];
  expect(new Set(addresses).size).toBe(1000);
});

test('the example equipment list reads', async () => {
  const loaded = await loadEquipment(new URL('../../fixtures/equipment.yaml', import.meta.url).pathname);
  expect(lines(loaded.issues)).toEqual([]);
  if (!loaded.ok) return;
  const [mgmt] = loaded.equipment.networks;
  expect(mgmt?.inUse).toEqual([
    { first: '192.0.2.20', last: '192.0.2.20' },
    { first: '192.0.2.30', last: '192.0.2.39' },
  ]);
  expect(
    loaded.equipment.items.map((item) => [item.name, item.count, item.controllers, item.ports.length]),
  ).toEqual([
    ['vault', 2, ['A', 'B'], 4],
    ['loft-switch', 2, [], 1],
  ]);
  expect(loaded.equipment.items[0]?.ports[3]).toMatchObject({
    name: 'cluster',
    per: 'device',
    virtual: true,
  });
});

test('an equipment list that names an unknown network is refused', async () => {
  const directory = folder({});
  const file = path.join(directory, 'equipment.yaml');
  writeFileSync(
    file,
    'equipment: 1\nnetworks: [{ name: mgmt, cidr: 192.0.2.0/24 }]\nitems:\n  - { name: vault, ports: [{ name: m, network: mgnt }] }\n',
  );
  expect(lines((await loadEquipment(file)).issues)).toEqual([
    'equipment.yaml, line 4, items[0].ports[0].network: the plan has no network "mgnt" (it has mgmt); did you mean "mgmt"?',
  ]);
});
