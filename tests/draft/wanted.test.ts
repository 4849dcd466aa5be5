import { describe, expect, test } from 'vitest';
import { unsound } from '../../src/draft/unsound.js';
import { rowsWanted, wantedEndpoints } from '../../src/draft/wanted.js';
import { equipmentOf } from './equipment.js';

const item = (text: string) => equipmentOf(`equipment: 1\nitems:\n${text}`);

describe('a group is the ways to one device', () => {
  test.each([
    ['vault data', 'vault-1 data'],
    ['data', 'vault-1 data'],
    ['vault', 'vault-1'],
    ['Vault data', 'vault-1 data'],
    ['vault-1 data', 'vault-1 data'],
    ['vaults data', 'vault-1 vaults data'],
  ])('%s becomes %s', (written, expected) => {
    const equipment = item(`  - { name: vault, ports: [{ name: data0, group: "${written}" }] }\n`);
    expect(wantedEndpoints(equipment).map(({ group }) => group)).toEqual([expected]);
  });

  test('a group of several items stays as it is written', () => {
    const ports = 'ports: [{ name: p0, group: loft uplink }]';
    const equipment = item(`  - { name: east, ${ports} }\n  - { name: west, ${ports} }\n`);
    expect(wantedEndpoints(equipment).map(({ group }) => group)).toEqual(['loft uplink', 'loft uplink']);
  });
});

test('devices and ports stand in the order of the list, A beside B, and rows are counted without making them', () => {
  const equipment = item(
    '  - { name: vault, count: 11, controllers: [A, B], ports: [{ name: m }, { name: c, per: device }] }\n',
  );
  const wanted = wantedEndpoints(equipment);
  expect(wanted).toHaveLength(33);
  expect(rowsWanted(equipment)).toBe(33);
  expect(wanted.slice(3, 6).map(({ id }) => id)).toEqual(['vault-2/A/m', 'vault-2/B/m', 'vault-2/c']);
  expect(wanted.at(-1)?.id).toBe('vault-11/c');
});

describe('what no address list can hold', () => {
  const problems = (text: string, limit = 20_000) => unsound(equipmentOf(text), limit);

  test('a port twice, without regard to case', () => {
    expect(
      problems('equipment: 1\nitems: [{ name: vault, count: 9, ports: [{ name: m }, { name: M }] }]\n'),
    ).toEqual([expect.stringMatching(/the port "vault-1\/M" stands here a second time/)]);
  });

  test('networks that differ by case alone', () => {
    expect(
      problems(
        'equipment: 1\nnetworks: [{ name: lan }, { name: LAN }]\nitems: [{ name: vault, ports: [{ name: m }] }]\n',
      ),
    ).toEqual([expect.stringMatching(/the network "LAN"/)]);
  });

  test('a name that a spreadsheet would compute', () => {
    expect(problems('equipment: 1\nitems: [{ name: "=1+1", ports: [{ name: m }] }]\n')).toEqual([
      expect.stringMatching(/"=1\+1" for a formula/),
    ]);
  });

  test('more rows than a list may have', () => {
    expect(problems('equipment: 1\nitems: [{ name: vault, count: 6, ports: [{ name: m }] }]\n', 5)).toEqual([
      'the equipment has 6 ports, and an address list has at most 5 rows; split it',
    ]);
  });
});
