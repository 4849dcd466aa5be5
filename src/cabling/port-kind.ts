/** What kind of interface a port is: one that takes a cable, or something that the agent lists beside those. */
import type { SwitchPort } from '../sighting/types.js';

/** IANAifType (IANAifType-MIB): what no cable goes into. */
export const AGGREGATE = 161;
const SOFTWARE_LOOPBACK = 24;
const VIRTUAL = 53;
const TUNNEL = 131;
const LAYER_2_VLAN = 135;
const LAYER_3_VLAN = 136;
const BRIDGE = 209;
const LOGICAL_TYPES: ReadonlySet<number> = new Set([
  AGGREGATE,
  SOFTWARE_LOOPBACK,
  VIRTUAL,
  TUNNEL,
  LAYER_2_VLAN,
  LAYER_3_VLAN,
  BRIDGE,
]);

/** Common practice, no source: how agents that tell no ifType, or one of a port, call what takes no cable. */
const LOGICAL_NAME =
  /^(?:po|port-?channel|lag|trunk|bond|team|ae|bundle-?ether|agg\w*|vlan|vl|irb|bvi|lo|loopback|tunnel|null|bridge)[\s_-]*\d/i;

/** An aggregated link, a VLAN interface, a loopback: the agent lists it, and no cable ends in it. */
export function isLogical({ ifType, name }: Pick<SwitchPort, 'ifType' | 'name'>): boolean {
  return (ifType !== undefined && LOGICAL_TYPES.has(ifType)) || LOGICAL_NAME.test(name);
}

/** `1/7` of `1/7.0`: the port that a logical unit is part of. */
export function portOfUnit(name: string): string | undefined {
  return /^(.*\d)\.\d{1,4}$/.exec(name)?.[1];
}

/** Ports without their logical units, and for each unit the ifIndex of its port. A unit whose port is not listed stays what it is. */
export function withoutUnits(ports: readonly SwitchPort[]): {
  readonly ports: readonly SwitchPort[];
  readonly portOf: ReadonlyMap<number, number>;
} {
  const byName = new Map(ports.map((port) => [port.name, port]));
  const portOf = new Map<number, number>();
  const aggregateOfUnit = new Map<number, number>();
  for (const unit of ports) {
    const base = byName.get(portOfUnit(unit.name) ?? '');
    if (base === undefined) continue;
    portOf.set(unit.ifIndex, base.ifIndex);
    if (unit.aggregate !== undefined) aggregateOfUnit.set(base.ifIndex, unit.aggregate);
  }
  if (portOf.size === 0) return { ports, portOf };
  const kept = ports.flatMap((port): SwitchPort[] => {
    if (portOf.has(port.ifIndex)) return [];
    const aggregate = port.aggregate ?? aggregateOfUnit.get(port.ifIndex);
    // The aggregate may be told as a unit itself: `ae0.0`.
    return [
      { ...port, ...(aggregate === undefined ? {} : { aggregate: portOf.get(aggregate) ?? aggregate }) },
    ];
  });
  return { ports: kept, portOf };
}
