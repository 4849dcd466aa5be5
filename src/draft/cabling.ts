/**
 * Which switch and which port each cable goes to. The controllers of a device go to different switches, so that A and B never share
 * one; a device without controllers spreads its ports of one role alike. Lowest free port first, in the order of the list.
 */
import type { Endpoint, Role } from '../plan/model.js';
import type { Equipment, EquipmentItem } from '../plan-file/equipment.js';
import type { DraftNote } from './notes.js';
import { devicesOf } from './wanted.js';

export interface Cabled {
  readonly endpoints: readonly Endpoint[];
  readonly notes: readonly DraftNote[];
}

interface DraftSwitch {
  readonly name: string;
  readonly item: EquipmentItem;
}

/** Cables that `endpoints` have already (kept from a previous list) stay where they are. */
export function cabled({ items }: Equipment, endpoints: readonly Endpoint[]): Cabled {
  const switches = items
    .filter((item) => item.switchPorts.length > 0)
    .flatMap((item) => devicesOf(item).map((name): DraftSwitch => ({ name, item })));
  if (switches.length === 0) return { endpoints, notes: [] };
  const itemOf = new Map(items.flatMap((item) => devicesOf(item).map((name) => [name, item] as const)));
  const taken = new Set(
    endpoints.flatMap(({ switchPorts }) =>
      switchPorts.map(({ switch: name, port = '' }) => portKey(name, port)),
    ),
  );
  const full = new Map<DraftSwitch, string[]>();
  const placed = endpoints.map((endpoint): Endpoint => {
    const item = itemOf.get(endpoint.device);
    if (item === undefined || !hasCable(endpoint, item) || endpoint.switchPorts.length > 0) return endpoint;
    const serving = switches.filter(({ item: { serves } }) => takes(serves, endpoint.network));
    const chosen = serving[slotOf(endpoint, item) % Math.max(1, serving.length)];
    if (chosen === undefined) return endpoint;
    const port = chosen.item.switchPorts.find((name) => !taken.has(portKey(chosen.name, name)));
    if (port === undefined) {
      const without = full.get(chosen);
      if (without === undefined) full.set(chosen, [endpoint.id]);
      else without.push(endpoint.id);
      return endpoint;
    }
    taken.add(portKey(chosen.name, port));
    return {
      ...endpoint,
      switch: chosen.name,
      switchPort: port,
      switchPorts: [{ switch: chosen.name, port }],
    };
  });
  return {
    endpoints: placed,
    notes: [
      ...[...full].map(
        ([{ name, item }, without]): DraftNote => ({
          kind: 'no-switch-port',
          switch: name,
          ports: item.switchPorts.length,
          without,
        }),
      ),
      ...sharedSwitches(placed),
    ],
  };
}

/** A switch reaches its own address through itself; a virtual address has no cable of its own. */
function hasCable({ network, role, virtual }: Endpoint, { switchPorts }: EquipmentItem): boolean {
  return network !== undefined && role !== 'power' && !virtual && switchPorts.length === 0;
}

function takes(serves: readonly string[], network: string | undefined): boolean {
  return serves.length === 0 || (network !== undefined && serves.includes(network));
}

function slotOf({ controller, port, role }: Endpoint, { controllers, ports }: EquipmentItem): number {
  if (controller !== undefined) return controllers.indexOf(controller);
  const alike = ports.filter((one) => one.role === role && one.network !== undefined && !one.virtual);
  return Math.max(
    0,
    alike.findIndex(({ name }) => name === port),
  );
}

function portKey(name: string, port: string): string {
  return JSON.stringify([name.toLowerCase(), port.toLowerCase()]);
}

/** Devices that have several ways of one kind, all into one switch. */
function sharedSwitches(endpoints: readonly Endpoint[]): DraftNote[] {
  const ways = new Map<string, { device: string; role: Role; ends: Set<string>; count: number }>();
  for (const { device, role, switch: name } of endpoints) {
    if (name === undefined) continue;
    const key = JSON.stringify([device, role]);
    const way = ways.get(key) ?? { device, role, ends: new Set(), count: 0 };
    way.ends.add(name);
    way.count += 1;
    ways.set(key, way);
  }
  return [...ways.values()].flatMap(({ device, role, ends: [first, second], count }): DraftNote[] =>
    count > 1 && first !== undefined && second === undefined
      ? [{ kind: 'one-switch', device, role, switch: first }]
      : [],
  );
}
