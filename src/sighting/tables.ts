/** What SNMP agents and LLDP tell of ports, links and cabling. */
/** One port as the device's own SNMP agent tells it (IF-MIB). */
export interface LinkSighting {
  readonly ifIndex: number;
  readonly ifName?: string | undefined;
  readonly ifDescr?: string | undefined;
  readonly ifType?: number | undefined;
  readonly mac?: string | undefined;
  readonly adminStatus?: LinkStatus | undefined;
  readonly operStatus?: LinkStatus | undefined;
  /** From ifHighSpeed, or ifSpeed where that is not saturated. */
  readonly speedMbps?: number | undefined;
  readonly mtu?: number | undefined;
  readonly addresses: readonly string[];
  /** fcmPortWwn, lower-case hex colon separated. */
  readonly wwn?: string | undefined;
}

export type LinkStatus = 'up' | 'down' | 'testing' | 'unknown' | 'dormant' | 'notPresent' | 'lowerLayerDown';

/** IF-MIB of one device, asked at one of its addresses. */
export interface DeviceLinks {
  readonly device: string;
  readonly controller?: string | undefined;
  readonly askedAt: string;
  readonly links: readonly LinkSighting[];
  readonly truncated?: string | undefined;
}

/** One switch's view of its ports, by BRIDGE-MIB / Q-BRIDGE-MIB and LLDP-MIB. */
export interface SwitchTables {
  /** Name of the plan's device. */
  readonly switch: string;
  readonly askedAt: string;
  readonly ports: readonly SwitchPort[];
  readonly forwarding: readonly ForwardingEntry[];
  readonly neighbours: readonly LldpNeighbour[];
  readonly ownMacs: readonly string[];
  readonly truncated?: string | undefined;
}

export interface SwitchPort {
  readonly bridgePort?: number | undefined;
  readonly ifIndex: number;
  readonly name: string;
  readonly descr?: string | undefined;
  readonly alias?: string | undefined;
  readonly ifType?: number | undefined;
  readonly operStatus?: LinkStatus | undefined;
  readonly speedMbps?: number | undefined;
  /** ifIndex of the aggregation group (ifType 161) this port is stacked under. */
  readonly aggregate?: number | undefined;
}

export interface ForwardingEntry {
  readonly mac: string;
  readonly ifIndex: number;
  /** VLAN where the filtering database could be mapped to one, else the fdbId is in `fdb`. */
  readonly vlan?: number | undefined;
  readonly fdb?: number | undefined;
  readonly status: 'other' | 'invalid' | 'learned' | 'self' | 'mgmt';
}

/** IEEE 802.1AB neighbour: from a captured frame or from LLDP-MIB. */
export interface LldpNeighbour {
  /** Local side: ifIndex and name on the switch that told it, or the laptop's interface name. */
  readonly localIfIndex?: number | undefined;
  readonly localPort: string;
  readonly chassisId: string;
  readonly chassisIdSubtype: string;
  readonly portId: string;
  readonly portIdSubtype: string;
  readonly portDescription?: string | undefined;
  readonly sysName?: string | undefined;
  readonly sysDescription?: string | undefined;
  readonly managementAddresses: readonly string[];
  readonly vlan?: number | undefined;
  readonly ttlSeconds?: number | undefined;
}
