import { expect, test } from 'vitest';
import { aDevice, aNetwork, anEndpoint } from '../support/evidence.js';
import { brief, found } from './support.js';

const D = '192.0.2.200';
const nets = [aNetwork('mgmt', '192.0.2.0/24', { gateway: '192.0.2.1' }), aNetwork('far', '203.0.113.0/24')];
const device = (name: string, ...defaultAddresses: string[]) => aDevice(name, { defaultAddresses });
const port = (id: string, address: string, more = {}) => anEndpoint(id, { address, ...more });

test('two devices with one default in one network: a note with the order of work', () => {
  const findings = found('default-address-shared', {
    networks: nets,
    devices: [device('vault-10', D), device('vault-2', D), device('vault-1', D)],
    endpoints: [
      port('vault-10/mgmt', '192.0.2.30'),
      port('vault-2/mgmt', '192.0.2.12'),
      port('vault-1/mgmt', '192.0.2.11'),
    ],
  });
  expect(brief(findings)).toEqual([`note ${D}`]);
  expect(findings[0]?.advice).toContain('vault-1, then vault-2, then vault-10.');
});

test('two controllers whose rows give one default are two devices', () => {
  const findings = found('default-address-shared', {
    networks: nets,
    endpoints: [
      port('vault-1/A/mgmt', '192.0.2.11', { defaultAddress: D }),
      port('vault-1/B/mgmt', '192.0.2.12', { defaultAddress: D }),
    ],
  });
  expect(findings[0]?.message).toBe(
    `2 devices come up on the default address ${D} in mgmt: vault-1/A and vault-1/B.`,
  );
});

test('a default that a row gives again is not counted a second time for its device', () => {
  const findings = found('default-address-shared', {
    networks: nets,
    devices: [device('vault-1', D)],
    endpoints: [port('vault-1/A/mgmt', '192.0.2.11', { defaultAddress: D })],
  });
  expect(findings).toEqual([]);
});

test('devices on different networks do not meet', () => {
  const findings = found('default-address-shared', {
    networks: nets,
    devices: [device('vault-1', D), device('vault-2', D)],
    endpoints: [port('vault-1/mgmt', '192.0.2.11'), port('vault-2/mgmt', '203.0.113.12')],
  });
  expect(findings).toEqual([]);
});

const planOf = (owner: ReturnType<typeof device>, ...endpoints: ReturnType<typeof port>[]) => ({
  networks: nets,
  devices: [owner],
  endpoints,
});

test('a default that is planned for another device is a stop and names both', () => {
  const findings = found(
    'default-address-in-network',
    planOf(device('vault-1', D), port('vault-1/mgmt', '192.0.2.11'), port('press-1/mgmt', D)),
  );
  expect(brief(findings)).toEqual([`stop ${D}`]);
  expect(findings[0]?.message).toBe(`vault-1 will come up on ${D}, which is planned for press-1/mgmt.`);
  expect(findings[0]?.about).toEqual(['press-1/mgmt']);
});

test('a default of controller B that is planned for controller A is a stop', () => {
  const findings = found('default-address-in-network', {
    networks: nets,
    endpoints: [port('vault-1/A/mgmt', D), port('vault-1/B/mgmt', '192.0.2.12', { defaultAddress: D })],
  });
  expect(findings[0]?.message).toBe(`vault-1/B will come up on ${D}, which is planned for vault-1/A/mgmt.`);
});

test('a default on the gateway is a stop', () => {
  const findings = found(
    'default-address-in-network',
    planOf(device('vault-1', '192.0.2.1'), port('vault-1/mgmt', '192.0.2.11')),
  );
  expect(brief(findings)).toEqual(['stop 192.0.2.1']);
});

test('a default that is free in a planned network is a note', () => {
  const findings = found(
    'default-address-in-network',
    planOf(device('vault-1', D), port('vault-1/mgmt', '192.0.2.11')),
  );
  expect(brief(findings)).toEqual([`note ${D}`]);
});

test('a device that keeps its default as planned, and a default outside every network, are fine', () => {
  expect(found('default-address-in-network', planOf(device('vault-1', D), port('vault-1/mgmt', D)))).toEqual(
    [],
  );
  expect(
    found(
      'default-address-in-network',
      planOf(device('vault-1', '198.51.100.1'), port('vault-1/mgmt', '192.0.2.11')),
    ),
  ).toEqual([]);
});

test('two devices with one default of which one keeps it: the other one clashes', () => {
  const findings = found('default-address-in-network', {
    networks: nets,
    devices: [device('vault-1', D), device('vault-2', D)],
    endpoints: [port('vault-1/mgmt', D), port('vault-2/mgmt', '192.0.2.12')],
  });
  expect(findings.map((f) => f.message)).toEqual([
    `vault-2 will come up on ${D}, which is planned for vault-1/mgmt.`,
  ]);
});
