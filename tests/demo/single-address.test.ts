import { expect, test } from 'vitest';
import { detourFor, pointed } from '../../src/demo/single-address.js';
import type { PlannedService } from '../../src/plan/model.js';
import type { ResolvedSnmp } from '../../src/probe/types.js';
import type { ProbeSet } from '../../src/run/probe-set.js';
import { planned } from '../support/evidence.js';

const patience = { timeoutMs: 100, attempts: 1 };
const signal = new AbortController().signal;
const A = { address: '127.10.1.11', port: 18_443 };
const B = { address: '127.10.1.12', port: 18_443 };
const detour = detourFor([A, A, B], 20_000);
const credential: ResolvedSnmp = { name: 'demo', version: '2c', port: 18_443 };
const service = planned('https:18443')[0] as PlannedService;

/** Probes that write down what they were asked. */
function asked() {
  const log: unknown[] = [];
  const note = <Answer>(
    target: {
      readonly address: string;
      readonly port?: number;
      readonly service?: PlannedService;
      readonly credential?: unknown;
    },
    answer: Answer,
  ): Promise<Answer> => {
    const named = target.credential as ResolvedSnmp | undefined;
    log.push([target.address, target.service?.port ?? target.port ?? named?.port]);
    return Promise.resolve(answer);
  };
  const probes: ProbeSet = {
    icmp: (target) => note(target, { outcome: 'no-reply', sent: 1 }),
    mtu: (target) => note(target, { outcome: 'no-reply', asked: 1500 }),
    iscsi: (target) => note(target, { outcome: 'no-reply' }),
    redfish: (target) => note(target, { outcome: 'silent' } as never),
    tcp: (target) => note(target, { port: target.service.port, service: 'https', outcome: 'accepted' }),
    prove: (target) => {
      const { port } = target.service;
      return note(target, {
        proof: { service: 'https', protocol: 'tcp', port, outcome: 'proven' },
        identity: { https: { port, status: 200 }, ssh: { line: 'SSH-2.0-x', port } },
      });
    },
    snmp: (target) =>
      note(target, {
        sighting: { outcome: 'replied', version: '2c', credential: 'demo' },
        proof: { service: 'snmp', protocol: 'udp', port: target.service.port, outcome: 'proven' },
      }),
    links: (target) => note(target, { device: target.device, askedAt: target.address, links: [] }),
    switchTables: (target) =>
      note(target, {
        switch: target.switch,
        askedAt: target.address,
        ports: [],
        forwarding: [],
        neighbours: [],
        ownMacs: [],
      }),
    fabricTables: (target) =>
      note(target, { switch: target.switch, askedAt: target.address, ports: [], logins: [] }),
    powerSupplies: (target) => note(target, { device: target.device, askedAt: target.address, supplies: [] }),
    resolveCredential: () => Promise.resolve(credential),
  };
  return { log, probes: pointed(probes, detour) };
}

test('every place gets one port, the same each time, and unknown places stay', () => {
  expect(detour.to(A.address, A.port)).toEqual({ address: '127.0.0.1', port: 20_000 });
  expect(detour.to(B.address, B.port)).toEqual({ address: '127.0.0.1', port: 20_001 });
  expect(detour.to('192.0.2.1', 22)).toEqual({ address: '192.0.2.1', port: 22 });
});

test('every question goes to 127.0.0.1 and the port of its place', async () => {
  const { log, probes } = asked();
  await probes.tcp({ address: B.address, service }, patience, signal);
  await probes.prove({ address: B.address, service }, patience, signal);
  await probes.snmp({ address: B.address, service, credential }, patience, signal);
  await probes.redfish({ ...B }, patience, signal);
  await probes.iscsi(B, patience, signal);
  await probes.links({ address: B.address, credential, device: 'vault-1' }, patience, signal);
  await probes.switchTables({ address: B.address, credential, switch: 'loft-1' }, patience, signal);
  await probes.fabricTables({ address: B.address, credential, switch: 'loft-1' }, patience, signal);
  await probes.powerSupplies({ address: B.address, credential, device: 'vault-1' }, patience, signal);
  expect(log).toEqual(Array.from({ length: 9 }, () => ['127.0.0.1', 20_001]));
  await probes.icmp({ address: B.address }, patience, signal);
  await probes.mtu({ address: B.address, plannedMtu: 1500 }, patience, signal);
  expect(log.slice(9)).toEqual([
    ['127.0.0.1', undefined],
    ['127.0.0.1', undefined],
  ]);
});

test('answers are written down under the planned address and port', async () => {
  const { probes } = asked();
  expect(await probes.tcp({ address: B.address, service }, patience, signal)).toMatchObject({ port: B.port });
  expect(await probes.prove({ address: B.address, service }, patience, signal)).toMatchObject({
    proof: { port: B.port },
    identity: { https: { port: B.port }, ssh: { port: B.port } },
  });
  expect(await probes.snmp({ address: B.address, service, credential }, patience, signal)).toMatchObject({
    proof: { port: B.port },
  });
  const links = await probes.links({ address: B.address, credential, device: 'vault-1' }, patience, signal);
  expect(links.askedAt).toBe(B.address);
  const tables = await probes.switchTables({ address: B.address, credential, switch: 's' }, patience, signal);
  expect(tables.askedAt).toBe(B.address);
  const fabric = await probes.fabricTables({ address: B.address, credential, switch: 's' }, patience, signal);
  expect(fabric.askedAt).toBe(B.address);
  const power = await probes.powerSupplies({ address: B.address, credential, device: 'd' }, patience, signal);
  expect(power.askedAt).toBe(B.address);
});
