import { describe, expect, test } from 'vitest';
import type { Endpoint } from '../../src/plan/model.js';
import type { DeviceLinks, LinkSighting, LinkStatus } from '../../src/sighting/types.js';
import { anEndpoint, anEvidence, aPlan, mac } from '../support/evidence.js';
import { judgeCabling } from './judged.js';
import { aLink, aPort, aSwitch, someLinks } from './tables.js';

function judge(
  endpoints: readonly Endpoint[],
  links: readonly DeviceLinks[],
  switches = [] as ReturnType<typeof aSwitch>[],
) {
  const { perEndpoint } = judgeCabling(aPlan({ endpoints }), [anEvidence({ links, switches })]);
  return (id: string) => perEndpoint.get(id);
}
const port = (more: Parameters<typeof anEndpoint>[1] = {}, id = 'vault-1/A/data0') =>
  anEndpoint(id, { role: 'data', ...more });
const one = (endpoint: Endpoint, ...links: LinkSighting[]) =>
  judge([endpoint], [someLinks('vault-1', links)])(endpoint.id);
const codes = (cabling: ReturnType<typeof one>) => cabling?.findings.map((f) => f.code);

describe('which row of IF-MIB is the endpoint', () => {
  const links = [
    aLink(2, { ifName: 'e0a', ifDescr: 'Port 0a', mac: mac(2), addresses: ['198.51.100.11'] }),
    aLink(3, { ifName: 'e0b', ifDescr: 'Port 0b', mac: mac(3) }),
    aLink(4, { ifName: 'v21', mac: mac(3) }),
  ];
  test.each([
    ['ifName without case', { interface: 'E0A' }, 2],
    ['ifDescr', { interface: 'port 0b' }, 3],
    ['its address', { address: '198.51.100.11' }, 2],
    ['its MAC', { mac: mac(2) }, 2],
    ['the interface before the address', { interface: 'e0b', address: '198.51.100.11' }, 3],
  ])('by %s', (_, more, ifIndex) => {
    expect(one(port(more), ...links)?.link?.ifIndex).toBe(ifIndex);
  });

  test.each([
    ['a MAC that two rows have tells nothing', { mac: mac(3) }],
    [
      'a planned interface that is not there is not looked for by address',
      { interface: 'e9', address: '198.51.100.11' },
    ],
    ['an address that moves tells nothing', { address: '198.51.100.11', virtual: true }],
  ])('%s', (_, more) => {
    expect(one(port(more), ...links)?.link).toBeUndefined();
  });

  test('each controller’s agent has an eth2 of its own', () => {
    const endpoints = ['A', 'B'].flatMap((c, n) => [
      anEndpoint(`vault-1/${c}/mgmt`, { address: `192.0.2.1${n + 1}` }),
      port({ interface: 'eth2' }, `vault-1/${c}/data0`),
    ]);
    const agentOf = (address: string, speedMbps: number) =>
      someLinks('vault-1', [aLink(2, { speedMbps })], { askedAt: address });
    const both = judge(endpoints, [agentOf('192.0.2.11', 1000), agentOf('192.0.2.12', 2500)]);
    expect(both('vault-1/A/data0')?.link?.speedMbps).toBe(1000);
    expect(both('vault-1/B/data0')?.link?.speedMbps).toBe(2500);
    const onlyA = judge(endpoints, [agentOf('192.0.2.11', 1000)]);
    expect(onlyA('vault-1/B/data0')?.link).toBeUndefined();
  });

  test('one agent may tell the ports of both controllers where their names differ', () => {
    const endpoints = ['A', 'B'].map((c) => port({ interface: `c${c}-e2` }, `vault-1/${c}/data0`));
    const links = [aLink(2, { ifName: 'cA-e2' }), aLink(3, { ifName: 'cB-e2' })];
    const found = judge(endpoints, [someLinks('vault-1', links, { controller: 'A' })]);
    expect(found('vault-1/B/data0')?.link?.ifIndex).toBe(3);
  });
});

describe('link-down', () => {
  // RFC 2863 ifOperStatus and ifAdminStatus: what each pair of states means for a planned cable.
  test.each<[LinkStatus, LinkStatus, string[], string]>([
    ['up', 'down', ['link-down'], 'the fault'],
    ['up', 'lowerLayerDown', ['link-down'], 'the layer below is down'],
    ['up', 'notPresent', ['link-down'], 'hardware missing'],
    ['down', 'down', ['link-down'], 'switched off by its settings'],
    ['up', 'up', [], 'as planned'],
    ['up', 'dormant', [], 'waits for an outside event: neither'],
    ['up', 'testing', [], 'neither'],
    ['up', 'unknown', [], 'neither'],
  ])('admin %s, oper %s: %j (%s)', (adminStatus, operStatus, expected) => {
    const found = one(
      port({ interface: 'eth2', speedMbps: 25_000 }),
      aLink(2, { adminStatus, operStatus, speedMbps: 25_000 }),
    );
    expect(codes(found)).toEqual(expected);
  });

  test('a port switched off is to be enabled, not recabled; the speed of a down link is no finding', () => {
    const found = one(
      port({ interface: 'eth2', speedMbps: 25_000 }),
      aLink(2, { adminStatus: 'down', operStatus: 'down', speedMbps: 1000 }),
    );
    expect(found?.findings.map((f) => f.advice)).toEqual([expect.stringContaining('have it enabled')]);
    expect(found).toMatchObject({ linkState: 'differs', differences: [{ field: 'link', planned: 'up' }] });
  });

  test('the planned switch port without link tells it where the device has no agent', () => {
    const tables = aSwitch('loft-switch', {}, { ports: [aPort(7, { operStatus: 'down' })] });
    const endpoint = port({ switch: 'loft-switch', switchPort: '1/7' });
    const found = judge([endpoint], [], [tables])(endpoint.id);
    expect(found?.findings[0]?.message).toBe(
      'vault-1/A/data0 has no link: switch loft-switch says that port Ethernet1/7 is down.',
    );
  });
});

describe('Fibre Channel', () => {
  // RFC 4044 §5.1.6: state and speed of an FC port are ifOperStatus and ifHighSpeed, ifType 56.
  const fc = (more: Parameters<typeof anEndpoint>[1] = {}) =>
    port({ media: 'fc', network: 'fabric-a', speedMbps: 16_000, ...more }, 'vault-1/A/fc0');

  test('its own agent: up at the planned speed matches, down differs, slow differs and is up', () => {
    const at = (more: Partial<LinkSighting>) =>
      one(fc({ interface: 'fc0' }), aLink(5, { ifName: 'fc0', ifType: 56, speedMbps: 16_000, ...more }));
    expect(at({})?.said).toBe('link matches, light matches, speed matches');
    expect(at({ operStatus: 'down' })?.said).toBe(
      'link differs link-down, light missing link-down, speed unproven link-down',
    );
    expect(at({ speedMbps: 8000 })?.said).toBe('link matches, light matches, speed differs slower');
  });

  test('the switch of the fabric tells it where the array has no agent', () => {
    const tables = aSwitch(
      'fabric-switch-a',
      {},
      { ports: [aPort(3, { name: 'fc3', ifType: 56, speedMbps: 16_000 })] },
    );
    const endpoint = fc({ switch: 'fabric-switch-a', switchPort: 'fc3' });
    const found = judge([endpoint], [], [tables])(endpoint.id);
    expect(found).toMatchObject({ linkState: 'matches', measuredSpeedMbps: 16_000 });
    expect(found?.reasons.join(' ')).toContain('fabric-switch-a says that port fc3 has link');
  });

  test('nobody told its link: unproven', () => {
    expect(one(fc())?.said).toBe('light unproven no-credential, speed unproven no-credential');
  });
});

describe('speed-below-plan', () => {
  const planned = port({
    interface: 'eth2',
    speedMbps: 10_000,
    mac: mac(2),
    switch: 'loft-switch',
    switchPort: '1/7',
  });
  const both = (deviceMbps: number | undefined, switchMbps: number) =>
    judge(
      [planned],
      [someLinks('vault-1', [aLink(2, { speedMbps: deviceMbps })])],
      [aSwitch('loft-switch', { [mac(2)]: 7 }, { ports: [aPort(7, { speedMbps: switchMbps })] })],
    )(planned.id);

  test.each([
    [1000, 10_000, 'vault-1'],
    [10_000, 1000, 'loft-switch'],
    [undefined, 1000, 'loft-switch'],
    [0, 1000, 'loft-switch'],
  ])('device %s and switch %s Mb/s: the lower end counts, told by %s', (device, sw, by) => {
    const found = both(device, sw);
    expect(codes(found)).toEqual(['speed-below-plan']);
    expect(found?.differences).toMatchObject([{ field: 'speed', planned: '10G', measured: '1G' }]);
    expect(found?.findings[0]?.evidence[0]).toContain(by);
    expect(found?.measuredSpeedMbps).toBe(1000);
  });

  test('as planned or faster is no finding', () => {
    expect(codes(both(10_000, 25_000))).toEqual([]);
  });

  test('an aggregation group reports its sum: the slowest member is held against the plan', () => {
    const ports = [
      aPort(100, { name: 'Po1', ifType: 161, speedMbps: 11_000 }),
      aPort(7, { aggregate: 100 }),
      aPort(8, { aggregate: 100, speedMbps: 1000 }),
    ];
    const found = judge([planned], [], [aSwitch('loft-switch', { [mac(2)]: 100 }, { ports })])(planned.id);
    expect(found?.findings.map((f) => f.evidence[0])).toEqual([expect.stringContaining('Ethernet1/8')]);
  });
});

test('of devices that no run looked at everything planned is unproven, and nothing is found', () => {
  const endpoint = port({
    address: '192.0.2.11',
    interface: 'eth2',
    speedMbps: 10_000,
    mtu: 9000,
    switch: 'loft-switch',
  });
  const plan = aPlan({ endpoints: [endpoint] });
  const evidence = anEvidence({
    only: ['press-1'],
    links: [someLinks('vault-1', [aLink(2, { operStatus: 'down' })])],
  });
  const found = judgeCabling(plan, [evidence]).perEndpoint.get(endpoint.id);
  expect(found).toMatchObject({ differences: [], findings: [] });
  expect(found?.facts.map(({ fact, state, cause }) => `${fact} ${state} ${cause}`)).toEqual(
    ['speed', 'switch-port', 'mtu'].map((fact) => `${fact} unproven out-of-scope`),
  );
});
