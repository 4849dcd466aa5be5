/** Terse builders of SNMP tables for the tests of cabling. */
import type {
  DeviceLinks,
  ForwardingEntry,
  LinkSighting,
  LldpNeighbour,
  SwitchPort,
  SwitchTables,
} from '../../src/sighting/types.js';

/** Ethernet port, up at 10G, unless said. */
export function aLink(ifIndex: number, more: Partial<LinkSighting> = {}): LinkSighting {
  return {
    ifIndex,
    ifName: `eth${ifIndex}`,
    ifType: 6,
    adminStatus: 'up',
    operStatus: 'up',
    speedMbps: 10_000,
    addresses: [],
    ...more,
  };
}

export function someLinks(
  device: string,
  links: readonly LinkSighting[],
  more: Partial<DeviceLinks> = {},
): DeviceLinks {
  return { device, askedAt: '192.0.2.11', links, ...more };
}

export function aPort(ifIndex: number, more: Partial<SwitchPort> = {}): SwitchPort {
  return { ifIndex, name: `Ethernet1/${ifIndex}`, ifType: 6, operStatus: 'up', speedMbps: 10_000, ...more };
}

/** `learned: { [mac]: ifIndex }` beside one MAC of nobody's on port 46; ports 1 to 48 unless given. */
export function aSwitch(
  name: string,
  learned: Readonly<Record<string, number>> = {},
  more: Partial<SwitchTables> & { extraForwarding?: readonly ForwardingEntry[] } = {},
): SwitchTables {
  const { extraForwarding, ...rest } = more;
  return {
    switch: name,
    askedAt: '192.0.2.2',
    ports: Array.from({ length: 48 }, (_, n) => aPort(n + 1)),
    forwarding: [
      { mac: '00:00:5e:00:53:ee', ifIndex: 46, status: 'learned' },
      ...Object.entries(learned).map(([mac, ifIndex]) => ({ mac, ifIndex, status: 'learned' as const })),
      ...(extraForwarding ?? []),
    ],
    neighbours: [],
    ownMacs: [],
    ...rest,
  };
}

export function aNeighbour(localIfIndex: number, more: Partial<LldpNeighbour> = {}): LldpNeighbour {
  return {
    localIfIndex,
    localPort: `Ethernet1/${localIfIndex}`,
    chassisId: '00:00:5e:00:53:f0',
    chassisIdSubtype: 'macAddress',
    portId: 'p',
    portIdSubtype: 'interfaceName',
    managementAddresses: [],
    ...more,
  };
}
