import { expect, test } from 'vitest';
import { draftOf } from '../../src/draft/draft.js';
import { noteText } from '../../src/draft/notes.js';
import { equipmentOf } from './equipment.js';

const NETWORKS = `networks:
  - { name: mgmt, cidr: 192.0.2.0/24 }
  - { name: data-a, cidr: 198.51.100.0/25 }
  - { name: data-b, cidr: 198.51.100.128/25 }
`;
const VAULT = `  - name: vault
    count: 2
    controllers: [A, B]
    ports:
      - { name: mgmt, role: management, network: mgmt }
      - { name: data0, role: data, network: data-a }
      - { name: data1, role: data, network: data-b }
      - { name: cluster, role: management, network: mgmt, virtual: yes, per: device }
`;
const draft = (items: string) => draftOf(equipmentOf(`equipment: 1\n${NETWORKS}items:\n${items}`));
const cables = (given: ReturnType<typeof draft>) =>
  given.endpoints.map(({ id, switch: name, switchPort = '' }) =>
    `${id} ${name ?? '-'} ${switchPort}`.trimEnd(),
  );

test('controllers never share a switch; a virtual address and the switch itself have no cable', () => {
  const given = draft(
    `${VAULT}  - { name: loft, count: 2, switch-ports: [1/1-1/12], ports: [{ name: mgmt, role: switch, network: mgmt }] }\n`,
  );
  expect(cables(given)).toEqual([
    'vault-1/A/mgmt loft-1 1/1',
    'vault-1/B/mgmt loft-2 1/1',
    'vault-1/A/data0 loft-1 1/2',
    'vault-1/B/data0 loft-2 1/2',
    'vault-1/A/data1 loft-1 1/3',
    'vault-1/B/data1 loft-2 1/3',
    'vault-1/cluster -',
    'vault-2/A/mgmt loft-1 1/4',
    'vault-2/B/mgmt loft-2 1/4',
    'vault-2/A/data0 loft-1 1/5',
    'vault-2/B/data0 loft-2 1/5',
    'vault-2/A/data1 loft-1 1/6',
    'vault-2/B/data1 loft-2 1/6',
    'vault-2/cluster -',
    'loft-1/mgmt -',
    'loft-2/mgmt -',
  ]);
  expect(given.notes).toEqual([]);
});

test('a switch takes the cables of the networks it serves, and one switch alone for something is said', () => {
  const given = draft(
    `${VAULT.replace('count: 2', 'count: 1')}  - { name: low, switch-ports: [p1-p4], serves: [mgmt], ports: [] }
  - { name: loft, count: 2, switch-ports: [x1, x2], serves: [data-a, data-b], ports: [] }
`,
  );
  expect(cables(given)).toEqual([
    'vault-1/A/mgmt low-1 p1',
    'vault-1/B/mgmt low-1 p2',
    'vault-1/A/data0 loft-1 x1',
    'vault-1/B/data0 loft-2 x1',
    'vault-1/A/data1 loft-1 x2',
    'vault-1/B/data1 loft-2 x2',
    'vault-1/cluster -',
  ]);
  expect(given.notes).toEqual([
    { kind: 'one-switch', device: 'vault-1', role: 'management', switch: 'low-1' },
  ]);
});

test('ports of a device without controllers go apart, each role for itself', () => {
  const given = draft(`  - name: press
    ports: [{ name: nic0, role: host, network: data-a }, { name: bmc, role: management, network: mgmt }, { name: nic1, role: host, network: data-b }]
  - { name: loft, count: 2, switch-ports: [1-2], ports: [] }
`);
  expect(cables(given)).toEqual(['press-1/nic0 loft-1 1', 'press-1/bmc loft-1 2', 'press-1/nic1 loft-2 1']);
});

test('where a switch has no port left, the cable goes nowhere and is said, rather than to the partner', () => {
  const given = draft(`${VAULT}  - { name: loft, count: 2, switch-ports: [1-2], ports: [] }\n`);
  expect(cables(given).filter((line) => line.endsWith(' -'))).toHaveLength(10);
  expect(given.notes.map(noteText)).toEqual([
    'loft-1 has 2 ports for cables, and vault-1/A/data1, vault-2/A/mgmt, vault-2/A/data0 and vault-2/A/data1 found none free.',
    'loft-2 has 2 ports for cables, and vault-1/B/data1, vault-2/B/mgmt, vault-2/B/data0 and vault-2/B/data1 found none free.',
  ]);
});

test('data ways that are all in one network are said', () => {
  const given = draft(VAULT.replace('network: data-b', 'network: data-a'));
  expect(given.notes).toEqual([
    { kind: 'one-network', item: 'vault', network: 'data-a', ports: ['data0', 'data1'] },
  ]);
});
