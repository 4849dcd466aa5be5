import { expect, test } from 'vitest';
import type { Endpoint, SnmpCredential } from '../../src/plan/model.js';
import { Secret } from '../../src/plan/secret.js';
import { AT, aDevice, anEndpoint, mac } from '../support/evidence.js';
import { brief, found } from './support.js';

// Common practice, no source: racks, feeds and switch ports.
const rack = (name: string, from: number, to: number, where = 'R3') =>
  aDevice(name, { rack: where, units: { from, to } });

test.each([
  ['one unit in common', rack('vault-2', 13, 15), ['fix vault-1'], 'unit 13'],
  ['inside the other', rack('vault-2', 12, 12), ['fix vault-1'], 'unit 12'],
  ['two units in common', rack('vault-2', 10, 12), ['fix vault-1'], 'units 11-12'],
  ['directly above', rack('vault-2', 14, 15), [], ''],
  ['the same units of another rack', rack('vault-2', 11, 13, 'R4'), [], ''],
  ['the same rack written otherwise', rack('vault-2', 11, 11, ' r3 '), ['fix vault-1'], 'unit 11'],
  ['no units', aDevice('vault-2', { rack: 'R3' }), [], ''],
])('rack-units-overlap: %s', (_case, second, expected, words) => {
  const findings = found('rack-units-overlap', { devices: [rack('vault-1', 11, 13), second] });
  expect(brief(findings)).toEqual(expected);
  if (expected.length > 0) expect(findings[0]?.message).toContain(` ${words} of rack R3`);
});

test.each([
  ['two feeds', ['A', 'B'], {}, []],
  ['none said', [], {}, []],
  ['the same feed twice', ['A', 'a '], {}, ['fix box']],
  ['one feed, one supply', ['A'], {}, ['note box']],
  ['one feed for two controllers', ['A'], { A: {}, B: {} }, ['fix box']],
])('feeds-not-redundant: %s', (_case, feeds, controllers, expected) => {
  const devices = [aDevice('box', { feeds, controllers })];
  expect(brief(found('feeds-not-redundant', { devices }))).toEqual(expected);
});

const cable = (id: string, switchPort: string, more: Partial<Endpoint> = {}) =>
  anEndpoint(id, { switch: 'loft-1', switchPort, ...more, services: [] });

test.each<[string, Endpoint[], string[]]>([
  ['two boxes', [cable('a/p', '7'), cable('b/p', '7')], ['fix loft-1 7']],
  ['written otherwise', [cable('a/p', 'Gi 7'), cable('b/p', ' gi  7')], ['fix loft-1 Gi 7']],
  ['two ports of one box', [cable('a/A/p0', '7'), cable('a/A/p1', '7')], ['fix loft-1 7']],
  ['the same port of another switch', [cable('a/p', '7'), cable('b/p', '7', { switch: 'loft-2' })], []],
  ['a moving address is no cable', [cable('a/p', '7'), cable('a/float', '7', { virtual: true })], []],
  ['a sub-interface of one port', [cable('a/A/data0', '7'), cable('a/A/data0.20', '7')], []],
  ['one MAC of one box', [cable('a/A/x', '7', { mac: mac(1) }), cable('a/A/y', '7', { mac: mac(1) })], []],
  ['no switch port', [anEndpoint('a/p', { switch: 'loft-1' }), anEndpoint('b/p', { switch: 'loft-1' })], []],
])('switch-port-duplicate: %s', (_case, endpoints, expected) => {
  expect(brief(found('switch-port-duplicate', { endpoints }))).toEqual(expected);
});

test('literal-secret names the credential and the keys, never the value', () => {
  const literal = (value: string) => ({ kind: 'literal', value: new Secret(value) }) as const;
  const credential: SnmpCredential = {
    name: 'site-ro',
    version: '3',
    port: 161,
    authKey: literal('oyster-song'),
    privKey: { kind: 'env', name: 'PRIV' },
    at: AT,
  };
  const safe: SnmpCredential = {
    name: 'safe',
    version: '2c',
    port: 161,
    community: { kind: 'file', path: 'x' },
    at: AT,
  };
  const findings = found('literal-secret', { snmp: { 'site-ro': credential, safe } });
  expect(brief(findings)).toEqual(['note site-ro']);
  expect(findings[0]?.message).toBe('The credential site-ro has its authKey written in the plan itself.');
  expect(JSON.stringify(findings)).not.toContain('oyster');
});

test('nothing-to-check: one note for a device, whatever the number of rows', () => {
  const findings = found('nothing-to-check', {
    endpoints: [
      anEndpoint('vault-1/A/data0', { address: '192.0.2.5' }),
      anEndpoint('vault-1/B/data0', { address: '192.0.2.6' }),
      anEndpoint('vault-2/A/data0', { address: '192.0.2.7', services: 'iscsi-target' }),
      anEndpoint('vault-3/A/fc0', { media: 'fc' }),
    ],
  });
  expect(brief(findings)).toEqual(['note vault-1']);
  expect(findings[0]?.about).toEqual(['vault-1/A/data0', 'vault-1/B/data0']);
});

test('thousands in one unit are all named, in some sentences each and not in millions', () => {
  const devices = Array.from({ length: 2_000 }, (_, n) => rack(`vault-${n}`, 1, 1));
  const findings = found('rack-units-overlap', { devices });
  expect(findings.length).toBeLessThan(4 * devices.length);
  const named = new Set(findings.flatMap(({ message }) => message.match(/vault-\d+/g) ?? []));
  expect(named.size).toBe(devices.length);
});
