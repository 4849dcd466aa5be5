/** What one device may make us keep, whatever it tells: an agent with rows without end, each as long as it may be. */
import { afterEach, expect, it } from 'vitest';
import { readLinks } from '../../src/snmp/links.js';
import { readSwitchTables } from '../../src/snmp/switch-tables.js';
import { type Objects, scriptedAgent } from './scripted-agent.js';
import { community } from './support.js';

const closers: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of closers.splice(0)) await close();
});

const LONG = { text: 'x'.repeat(250) };
const rows = (column: string, count: number, value: Objects[number][1]): Objects =>
  Array.from({ length: count }, (_, row) => [`${column}.${row + 1}`, value] as const);

/** RFC 2863 (ifDescr, ifName, ifAlias), RFC 4188 (dot1dTpFdbPort by MAC), LLDP-MIB (lldpRemEntry): more rows than are kept of each. */
const LIES: Objects = [
  ...rows('1.3.6.1.2.1.2.2.1.2', 2500, LONG),
  ...rows('1.3.6.1.2.1.31.1.1.1.1', 2500, LONG),
  ...rows('1.3.6.1.2.1.31.1.1.1.18', 2500, LONG),
  ['1.3.6.1.2.1.17.1.4.1.2.1', { int: 1 }],
  ...Array.from({ length: 17_000 }, (_, row): Objects[number] => [
    `1.3.6.1.2.1.17.4.3.1.2.0.0.94.${row >> 14}.${(row >> 7) & 127}.${row & 127}`,
    { int: 1 },
  ]),
  ...[4, 6].flatMap((column) => rows(`1.0.8802.1.1.2.1.4.1.1.${column}.0.1`, 1300, { int: 7 })),
  ...[5, 7, 8, 9, 10].flatMap((column) => rows(`1.0.8802.1.1.2.1.4.1.1.${column}.0.1`, 1300, LONG)),
];

const PATIENCE = { timeoutMs: 1000, attempts: 3 };

it('keeps less than four million octets of a switch that lies without end, and less than one of its links', async () => {
  const agent = await scriptedAgent(LIES);
  closers.push(agent.close);
  const { signal } = new AbortController();
  const target = { address: '127.0.0.1', credential: community(agent.port) };
  const startedAt = performance.now();
  const [links, tables] = await Promise.all([
    readLinks({ ...target, device: 'loft-switch' }, PATIENCE, signal),
    readSwitchTables({ ...target, switch: 'loft-switch' }, PATIENCE, signal),
  ]);
  // Ten seconds a device, and slack for a busy machine.
  expect(performance.now() - startedAt).toBeLessThan(12_000);
  expect(links.links).toHaveLength(2048);
  expect(links.cutBecause).toBe('too-much');
  expect(JSON.stringify(links).length).toBeLessThan(1_000_000);
  expect(tables.ports.length).toBe(2048);
  expect(tables.neighbours.length).toBeLessThanOrEqual(1024);
  expect(tables.forwarding.length).toBeLessThanOrEqual(16_384);
  expect(tables.cutBecause).toBe('too-much');
  expect(JSON.stringify(tables).length).toBeLessThan(4_000_000);
});
