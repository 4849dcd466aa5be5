import { describe, expect, test } from 'vitest';
import type { Endpoint } from '../../src/plan/model.js';
import type { AddressSighting, SwitchTables } from '../../src/sighting/types.js';
import { judgeCabling } from '../cabling/judged.js';
import { aLink, aNeighbour, aPort, aSwitch, someLinks } from '../cabling/tables.js';
import { aDevice, aNetwork, anEndpoint, anEvidence, aPlan, aSighting, mac } from '../support/evidence.js';
import { workMs } from '../support/work.js';

const SW1 = 'loft-switch-1';
const SW2 = 'loft-switch-2';
const at = (id: string, sw: string, switchPort: string | undefined, more: Partial<Endpoint> = {}): Endpoint =>
  anEndpoint(id, { role: 'data', switch: sw, switchPort, ...(more as object) });

interface More {
  sightings?: AddressSighting[];
  links?: ReturnType<typeof someLinks>[];
  devices?: ReturnType<typeof aDevice>[];
  networks?: ReturnType<typeof aNetwork>[];
}
function judge(endpoints: readonly Endpoint[], switches: readonly SwitchTables[], more: More = {}) {
  const { devices = [SW1, SW2].map((name) => aDevice(name)), networks, ...evidence } = more;
  const plan = aPlan({ endpoints, devices, ...(networks === undefined ? {} : { networks }) });
  const { perEndpoint } = judgeCabling(plan, [anEvidence({ switches, ...evidence })]);
  return (id: string) => {
    const found = perEndpoint.get(id);
    return {
      ...found,
      codes: found?.findings.map((f) => f.code),
      message: found?.findings[0]?.message,
      text: found?.reasons.join(' '),
    };
  };
}
const A0 = at('vault-1/A/data0', SW1, '1/7', { mac: mac(0x10) });
const B0 = at('vault-1/B/data0', SW1, '1/8', { mac: mac(0x20) });
const A1 = at('vault-1/A/data1', SW2, '1/7', { mac: mac(0x11) });

describe('the switch port of a MAC', () => {
  test('where the plan says: measured, and no difference', () => {
    const found = judge([A0], [aSwitch(SW1, { [mac(0x10)]: 7 })])(A0.id);
    expect(found).toMatchObject({
      codes: [],
      differences: [],
      measuredSwitch: SW1,
      cabling: { switch: SW1, port: 'Ethernet1/7', mac: mac(0x10), by: 'forwarding table' },
    });
  });

  test('in another port: both names', () => {
    const found = judge([A0], [aSwitch(SW1, { [mac(0x10)]: 9 })])(A0.id);
    expect(found.codes).toEqual(['wrong-switch-port']);
    expect(found.message).toContain(`is on ${SW1} port Ethernet1/9, planned ${SW1} port 1/7`);
    expect(found.differences).toMatchObject([{ field: 'switch port' }]);
  });

  test('on the other switch: that switch is the measured one', () => {
    const found = judge([A1], [aSwitch(SW1, { [mac(0x11)]: 30 }), aSwitch(SW2)])(A1.id);
    expect(found).toMatchObject({ codes: ['wrong-switch-port'], measuredSwitch: SW1 });
  });

  test('two cables exchanged are named as a swap, at both ends', () => {
    const found = judge([A0, B0], [aSwitch(SW1, { [mac(0x10)]: 8, [mac(0x20)]: 7 })]);
    expect(found(A0.id).message).toContain(`The cables of ${A0.id} and ${B0.id} are swapped`);
    expect(found(B0.id).message).toContain(`The cables of ${B0.id} and ${A0.id} are swapped`);
    expect(found(A0.id).findings?.[0]?.about).toEqual([A0.id, B0.id]);
  });

  test('a cable in the planned port of one that is right where it should be is no swap', () => {
    const found = judge([A0, B0], [aSwitch(SW1, { [mac(0x10)]: 8, [mac(0x20)]: 8 })]);
    expect(found(A0.id).message).not.toContain('swapped');
    expect(found(B0.id).codes).toEqual([]);
  });

  test('the plan names the switch alone: the port does not matter', () => {
    const bare = at('vault-1/A/data0', SW1, undefined, { mac: mac(0x10) });
    expect(judge([bare], [aSwitch(SW1, { [mac(0x10)]: 33 })])(bare.id).codes).toEqual([]);
    expect(judge([bare], [aSwitch(SW1), aSwitch(SW2, { [mac(0x10)]: 33 })])(bare.id).codes).toEqual([
      'wrong-switch-port',
    ]);
  });

  // RFC 4188 dot1dTpFdbStatus: self is the switch's own address, invalid is leaving, other says nothing.
  test.each(['self', 'invalid', 'other'] as const)('an entry of status %s is no place', (status) => {
    const tables = aSwitch(SW1, {}, { extraForwarding: [{ mac: mac(0x10), ifIndex: 9, status }] });
    expect(judge([A0], [tables])(A0.id).cabling).toBeUndefined();
  });

  test('in the VLAN of its network only, where the table tells VLANs', () => {
    const endpoint = at('vault-1/A/data0', SW1, '1/7', { mac: mac(0x10), network: 'data-a' });
    const entry = (vlan: number, ifIndex: number) => ({
      mac: mac(0x10),
      ifIndex,
      vlan,
      status: 'learned' as const,
    });
    const tables = aSwitch(SW1, {}, { extraForwarding: [entry(99, 3), entry(21, 7)] });
    const networks = [aNetwork('data-a', '198.51.100.0/25', { vlan: 21 })];
    expect(judge([endpoint], [tables], { networks })(endpoint.id)).toMatchObject({
      codes: [],
      cabling: { port: 'Ethernet1/7' },
    });
  });
});

describe('what is not known makes no finding', () => {
  test('a MAC in no table of a planned switch that was read: a reason', () => {
    const found = judge([A0], [aSwitch(SW1)])(A0.id);
    expect(found).toMatchObject({
      codes: [],
      text: expect.stringContaining(`${SW1} does not know its MAC: the switch port is not proven`),
    });
  });

  test('the planned switch was not read: what another switch sees may lie behind it', () => {
    const found = judge([A1], [aSwitch(SW1, { [mac(0x11)]: 48 })])(A1.id);
    expect(found).toMatchObject({
      codes: [],
      said: expect.stringContaining('switch-port unproven may-lie-behind'),
    });
    expect(found.measuredSwitch).toBeUndefined();
  });

  test('the planned switch was read only in part and does not have it', () => {
    const part = aSwitch(SW2, {}, { truncated: 'cut off after 20,000 rows' });
    expect(judge([A1], [aSwitch(SW1, { [mac(0x11)]: 48 }), part])(A1.id).codes).toEqual([]);
  });

  test('a planned switch whose agent has no forwarding table proves nothing of what another sees, unless its port is down', () => {
    const mute = aSwitch(SW2, {}, { forwarding: [] });
    const found = judge([A1], [aSwitch(SW1, { [mac(0x11)]: 48 }), mute])(A1.id);
    expect(found.codes).toEqual([]);
    expect(found.measuredSwitch).toBeUndefined();
    const down = { ...mute, ports: [aPort(7, { operStatus: 'down' })] };
    expect(judge([A1], [aSwitch(SW1, { [mac(0x11)]: 48 }), down])(A1.id)).toMatchObject({
      codes: ['wrong-switch-port'],
      measuredSwitch: SW1,
    });
    expect(judge([A1], [mute])(A1.id).text).toContain(`${SW2} tells no forwarding table`);
  });

  test('a planned port that the switch does not have, or has twice', () => {
    const none = at('vault-1/A/data0', SW1, '1/77', { mac: mac(0x10) });
    expect(judge([none], [aSwitch(SW1, { [mac(0x10)]: 7 })])(none.id)).toMatchObject({
      codes: [],
      text: expect.stringContaining('no port called 1/77'),
    });
    const ports = [aPort(1, { name: 'Gi1/1' }), aPort(2, { name: 'Te1/1' })];
    const twice = at('vault-1/A/data0', SW1, '1/1', { mac: mac(0x10) });
    expect(judge([twice], [aSwitch(SW1, { [mac(0x10)]: 2 }, { ports })])(twice.id)).toMatchObject({
      codes: [],
      text: expect.stringContaining('may be Gi1/1 or Te1/1'),
    });
  });

  test('no switch planned: where it is, and nothing to compare', () => {
    const free = anEndpoint('vault-1/A/mgmt', { mac: mac(0x10) });
    const found = judge([free], [aSwitch(SW1, { [mac(0x10)]: 7 })])(free.id);
    expect(found).toMatchObject({ codes: [], measuredSwitch: SW1 });
  });
});

describe('the MAC seen at a planned address', () => {
  const bare = (id: string, address: string, switchPort: string) => at(id, SW1, switchPort, { address });
  const X = bare('vault-1/A/data0', '192.0.2.11', '1/7');
  const Y = bare('vault-1/B/data0', '192.0.2.12', '1/8');

  test('stands in for a MAC that the plan does not have', () => {
    const sightings = [aSighting('192.0.2.11', { by: mac(0x30) })];
    const found = judge([X], [aSwitch(SW1, { [mac(0x30)]: 9 })], { sightings })(X.id);
    expect(found).toMatchObject({ codes: ['wrong-switch-port'], cabling: { mac: mac(0x30) } });
  });

  test('one device that answers for two holes tells nothing of either', () => {
    const sightings = ['192.0.2.11', '192.0.2.12'].map((a) => aSighting(a, { by: mac(0x30) }));
    const found = judge([X, Y], [aSwitch(SW1, { [mac(0x30)]: 7 })], { sightings });
    expect(found(Y.id).codes).toEqual([]);
    expect(found(Y.id).cabling).toBeUndefined();
  });

  test('two claimants, a virtual router, or the planned MAC of another endpoint tell nothing', () => {
    const tables = [aSwitch(SW1, { [mac(0x30)]: 9, '00:00:5e:00:01:05': 9 })];
    const by = (claimants: string | string[]) => [aSighting('192.0.2.11', { by: claimants })];
    expect(judge([X], tables, { sightings: by([mac(0x30), mac(0x31)]) })(X.id).codes).toEqual([]);
    expect(judge([X], tables, { sightings: by('00:00:5e:00:01:05') })(X.id).codes).toEqual([]);
    const owner = at('press-1/nic', SW1, '1/9', { mac: mac(0x30) });
    const found = judge([X, owner], tables, { sightings: by(mac(0x30)) });
    expect([found(X.id).codes, found(owner.id).codes]).toEqual([[], []]);
  });

  test('a planned MAC that no table has gives way to the one seen', () => {
    const both = at('vault-1/A/data0', SW1, '1/7', { address: '192.0.2.11', mac: mac(0x44) });
    const sightings = [aSighting('192.0.2.11', { by: mac(0x30) })];
    const found = judge([both], [aSwitch(SW1, { [mac(0x30)]: 7 })], { sightings })(both.id);
    expect(found).toMatchObject({ codes: [], cabling: { mac: mac(0x30) } });
  });
});

describe('links between switches', () => {
  const uplink = (to: string, ifIndex = 48) => aNeighbour(ifIndex, { sysName: `${to}.site.example` });

  test('LLDP tells the uplink: the place is the edge port of the other switch', () => {
    const found = judge(
      [A0],
      [aSwitch(SW1, { [mac(0x10)]: 7 }), aSwitch(SW2, { [mac(0x10)]: 48 }, { neighbours: [uplink(SW1)] })],
    )(A0.id);
    expect(found).toMatchObject({ codes: [], cabling: { switch: SW1, port: 'Ethernet1/7' } });
  });

  test('moved to the other switch: seen at the uplink of the planned one and at the edge of the other', () => {
    const found = judge(
      [A0],
      [
        aSwitch(SW1, { [mac(0x10)]: 48 }, { neighbours: [uplink(SW2)] }),
        aSwitch(SW2, { [mac(0x10)]: 7 }, { neighbours: [uplink(SW1)] }),
      ],
    )(A0.id);
    expect(found).toMatchObject({ codes: ['wrong-switch-port'], measuredSwitch: SW2 });
    expect(found.message).toContain(`${SW2} port Ethernet1/7`);
  });

  test('without LLDP the addresses of the other switch and of others behind one port tell the uplink', () => {
    const own = mac(0xf2);
    const found = judge(
      [A0],
      [aSwitch(SW1, { [mac(0x10)]: 48, [own]: 48 }), aSwitch(SW2, { [mac(0x10)]: 9 }, { ownMacs: [own] })],
    )(A0.id);
    expect(found.message).toContain(`${SW2} port Ethernet1/9`);
  });

  test('behind the uplink to a switch that could not be read: that switch, and the port is not known', () => {
    // SW2 needs a place in the plan to be a switch of it: A1 names it.
    const found = judge([A0, A1], [aSwitch(SW1, { [mac(0x10)]: 48 }, { neighbours: [uplink(SW2)] })])(A0.id);
    expect(found).toMatchObject({ codes: ['wrong-switch-port'], measuredSwitch: SW2 });
    expect(found.message).toContain(`leads to ${SW2}`);
  });

  test('planned on the switch behind that uplink, which could not be read: no finding', () => {
    const found = judge([A0, A1], [aSwitch(SW1, { [mac(0x11)]: 48 }, { neighbours: [uplink(SW2)] })])(A1.id);
    expect(found).toMatchObject({ codes: [], measuredSwitch: SW2 });
  });

  test('two devices of the plan behind one port: a switch that nobody planned, and no edge port', () => {
    const press = at('press-1/nic', SW1, '1/20', { mac: mac(0x50) });
    const found = judge([A0, press], [aSwitch(SW1, { [mac(0x10)]: 7, [mac(0x50)]: 7 })]);
    expect(found(A0.id).codes).toEqual([]);
    expect(found(press.id).message).toContain('vault-1 and press-1 are behind it');
    expect(found(press.id).measuredSwitch).toBeUndefined();
  });

  test('an uplink that is an aggregation group: LLDP is heard on its members, the MACs on the group', () => {
    const ports = [
      aPort(7),
      aPort(47, { aggregate: 100 }),
      aPort(48, { aggregate: 100 }),
      aPort(100, { name: 'Po1', ifType: 161 }),
    ];
    const tables = aSwitch(SW1, { [mac(0x10)]: 100 }, { ports, neighbours: [uplink(SW2, 47)] });
    const found = judge([A0], [tables, aSwitch(SW2, { [mac(0x10)]: 5 })])(A0.id);
    expect(found.message).toContain(`${SW2} port Ethernet1/5`);
  });

  test('the management port of a switch is an edge port of the switch it hangs on', () => {
    const own = at(`${SW2}/mgmt`, SW1, '1/40', { mac: mac(0xf2), role: 'switch' });
    const tables = aSwitch(SW1, { [mac(0xf2)]: 40 }, { neighbours: [uplink(SW2, 40)] });
    const moved = aSwitch(SW1, { [mac(0xf2)]: 41 }, { neighbours: [uplink(SW2, 41)] });
    expect(judge([own], [tables, aSwitch(SW2, {}, { ownMacs: [mac(0xf2)] })])(own.id).codes).toEqual([]);
    expect(judge([own], [moved, aSwitch(SW2, {}, { ownMacs: [mac(0xf2)] })])(own.id).message).toContain(
      `is on ${SW1} port Ethernet1/41`,
    );
  });
});

describe('aggregation groups (IEEE 802.3ad, ifType 161)', () => {
  const ports = [
    aPort(7, { aggregate: 100 }),
    aPort(8, { aggregate: 100 }),
    aPort(9),
    aPort(100, { name: 'Po1', ifType: 161 }),
  ];
  const seenAt = (endpoint: Endpoint, ifIndex: number) =>
    judge([endpoint], [aSwitch(SW1, { [mac(0x10)]: ifIndex }, { ports })])(endpoint.id).codes;

  test('the table shows the group: its member is where the plan says', () => {
    expect(seenAt(A0, 100)).toEqual([]);
    expect(seenAt(at(A0.id, SW1, 'Po1', { mac: mac(0x10) }), 7)).toEqual([]);
  });
  test('a port outside the group is not', () => {
    expect(seenAt(at(A0.id, SW1, '1/9', { mac: mac(0x10) }), 100)).toEqual(['wrong-switch-port']);
  });
  const heardAt8 = (more: Partial<SwitchTables> = {}, endpoints = [A0]) =>
    judge(endpoints, [
      aSwitch(
        SW1,
        { [mac(0x10)]: 100 },
        { ports, neighbours: [aNeighbour(8, { portId: mac(0x10), portIdSubtype: 'macAddress' })], ...more },
      ),
    ]);
  test('LLDP hears another member of the same group, and the planned one has link: as planned', () => {
    expect(heardAt8()(A0.id)).toMatchObject({
      codes: [],
      measuredSwitch: SW1,
      text: expect.stringContaining('part of the same aggregated link'),
    });
  });
  test('LLDP hears another member, and the planned one has no link: in the wrong port', () => {
    const dark = ports.map((port) => (port.ifIndex === 7 ? { ...port, operStatus: 'down' as const } : port));
    expect(heardAt8({ ports: dark })(A0.id).message).toContain(`is on ${SW1} port Ethernet1/8`);
  });
  test('two ports of one group, planned one by one, are swapped: LLDP tells what the table cannot', () => {
    const neighbours = [
      aNeighbour(8, { portId: mac(0x10), portIdSubtype: 'macAddress' }),
      aNeighbour(7, { portId: mac(0x20), portIdSubtype: 'macAddress' }),
    ];
    const found = heardAt8({ neighbours }, [A0, B0]);
    expect(found(A0.id).message).toContain(`The cables of ${A0.id} and ${B0.id} are swapped`);
    expect(found(B0.id).codes).toEqual(['wrong-switch-port']);
  });
});

// IEEE 802.1AB: port id subtype 3 is a MAC, 5 an interface name; the neighbour is at the other end of the cable itself.
describe('LLDP', () => {
  test('a neighbour whose port id is the MAC is nearer than any table', () => {
    const tables = aSwitch(SW1, { [mac(0x10)]: 9 }, { neighbours: [aNeighbour(7, { portId: mac(0x10) })] });
    expect(judge([A0], [tables])(A0.id)).toMatchObject({
      codes: [],
      cabling: { by: 'LLDP', port: 'Ethernet1/7' },
    });
  });

  test('a neighbour that calls itself as the plan calls the controller, and its port as the plan does', () => {
    const endpoint = at('vault-1/B/data0', SW1, '1/8', { interface: 'e0b' });
    const devices = [
      aDevice('vault-1', { controllers: { A: { sysName: 'vault-1-a' }, B: { sysName: 'vault-1-b*' } } }),
    ];
    const heard = (sysName: string) =>
      judge([endpoint], [aSwitch(SW1, {}, { neighbours: [aNeighbour(9, { sysName, portId: 'e0b' })] })], {
        devices,
      })(endpoint.id).codes;
    expect(heard('vault-1-b.site.example')).toEqual(['wrong-switch-port']);
    expect(heard('vault-1-a')).toEqual([]);
  });

  test('LLDP on the other switch is proof even where the planned switch was not read', () => {
    const tables = aSwitch(SW1, {}, { neighbours: [aNeighbour(30, { portId: mac(0x11) })] });
    expect(judge([A1], [tables])(A1.id)).toMatchObject({ codes: ['wrong-switch-port'], measuredSwitch: SW1 });
  });
});

describe('the planned port has no link', () => {
  const down = aSwitch(SW1, {}, { ports: [aPort(7, { operStatus: 'down' }), aPort(9)] });
  test('and the device says that it is up: the cable is in another at', () => {
    const endpoint = at('vault-1/A/data0', SW1, '1/7', { interface: 'eth2' });
    const found = judge([endpoint], [down], { links: [someLinks('vault-1', [aLink(2)])] })(endpoint.id);
    expect(found.codes).toEqual(['wrong-switch-port']);
    expect(found.measuredSwitch).toBeUndefined();
    expect(found.message).toContain('another port, not identified');
  });
  test('and the MAC is in another port: that one, once', () => {
    const elsewhere = { ...down, forwarding: [{ mac: mac(0x10), ifIndex: 9, status: 'learned' as const }] };
    expect(judge([A0], [elsewhere])(A0.id).codes).toEqual(['wrong-switch-port']);
  });
});

test('the latest tables of a switch count, whole ones before cut ones', () => {
  const plan = aPlan({ endpoints: [A0], devices: [aDevice(SW1)] });
  const run = (finishedAt: string, ifIndex: number, truncated?: string) =>
    anEvidence({
      finishedAt,
      switches: [aSwitch(SW1, { [mac(0x10)]: ifIndex }, truncated === undefined ? {} : { truncated })],
    });
  const portOf = (...runs: ReturnType<typeof run>[]) =>
    judgeCabling(plan, runs).perEndpoint.get(A0.id)?.cabling?.port;
  const early = run('2030-01-01T00:00:00.000Z', 9);
  expect(portOf(run('2030-01-02T00:00:00.000Z', 7), early)).toBe('Ethernet1/7');
  expect(portOf(early, run('2030-01-02T00:00:00.000Z', 7, 'cut'))).toBe('Ethernet1/9');
});

test('20,000 entries and 500 endpoints are judged in a moment', () => {
  const hex = (n: number) => n.toString(16).padStart(2, '0');
  const learned = Object.fromEntries(
    Array.from({ length: 20_000 }, (_, n) => [`02:00:5e:00:${hex(n >> 8)}:${hex(n & 255)}`, 1 + (n % 47)]),
  );
  const endpoints = Array.from({ length: 500 }, (_, n) =>
    at(`device-${n}/p`, SW1, '1/48', { mac: `02:00:5e:00:${hex(n >> 8)}:${hex(n & 255)}` }),
  );
  const before = workMs();
  expect(judge(endpoints, [aSwitch(SW1, learned)])('device-3/p').codes).toEqual(['wrong-switch-port']);
  expect(workMs() - before).toBeLessThan(15_000);
});
