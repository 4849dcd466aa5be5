import { expect, it } from 'vitest';
import type { ProbeSet } from '../../src/run/probe-set.js';
import { zonedProbes } from '../../src/run/zoned-probes.js';

/** Probes that write down what they were asked, and answer as if they had asked it. */
function noting() {
  const asked: string[] = [];
  const probe = (name: string) => async (target: { address: string }) => {
    asked.push(`${name} ${target.address}`);
    return { askedAt: target.address };
  };
  const names = ['icmp', 'tcp', 'prove', 'snmp', 'redfish', 'iscsi', 'mtu'];
  const tables = ['links', 'switchTables', 'fabricTables', 'powerSupplies'];
  const all = [...names, ...tables];
  const probes = Object.fromEntries(all.map((name) => [name, probe(name)])) as unknown as ProbeSet;
  return { asked, probes, all, tables };
}

it('asks with the port, and tells of the address as it is planned', async () => {
  const { asked, probes, all, tables } = noting();
  const zoned = zonedProbes(probes, (address) => (address === 'fe80::1' ? 'fe80::1%eth0' : address));
  const { signal } = new AbortController();
  const patience = { timeoutMs: 1, attempts: 1 };
  for (const name of all) {
    const probe = zoned[name as keyof ProbeSet] as unknown as (
      target: { address: string },
      wait: typeof patience,
      stop: AbortSignal,
    ) => Promise<{ askedAt: string }>;
    const told = await probe({ address: 'fe80::1' }, patience, signal);
    if (tables.includes(name)) expect([name, told.askedAt]).toEqual([name, 'fe80::1']);
    await probe({ address: '192.0.2.7' }, patience, signal);
  }
  expect(asked).toEqual(all.flatMap((name) => [`${name} fe80::1%eth0`, `${name} 192.0.2.7`]));
});
