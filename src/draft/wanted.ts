/** An equipment list -> every port it stands for, in the order in which addresses are given out. */
import type { Endpoint } from '../plan/model.js';
import type { Equipment, EquipmentItem, EquipmentPort } from '../plan-file/equipment.js';

/** Devices are numbered from 1, also where there is one: a second may come. */
export function devicesOf(item: EquipmentItem): string[] {
  return Array.from({ length: item.count }, (_, index) => `${item.name}-${index + 1}`);
}

/**
 * Ports in the order of the list: item, device, port, and of each port the controllers beside each other. So what a device gets
 * depends on what stands before it only.
 */
export function wantedEndpoints(equipment: Equipment): Endpoint[] {
  const shared = groupsOfSeveralItems(equipment);
  return equipment.items.flatMap((item) =>
    devicesOf(item).flatMap((device) => portsOf(item, device, shared)),
  );
}

/** How many rows the list would have, counted without making them. */
export function rowsWanted(equipment: Equipment): number {
  return equipment.items.reduce(
    (sum, { count, controllers, ports }) =>
      sum + count * ports.reduce((rows, port) => rows + holdersOf(port, controllers).length, 0),
    0,
  );
}

function portsOf(item: EquipmentItem, device: string, shared: ReadonlySet<string>): Endpoint[] {
  return item.ports.flatMap((port) =>
    holdersOf(port, item.controllers).map((controller): Endpoint => {
      const parts = controller === undefined ? [device, port.name] : [device, controller, port.name];
      return {
        id: parts.join('/'),
        device,
        controller,
        port: port.name,
        role: port.role,
        network: port.network,
        media: port.media,
        services: port.services,
        group: groupOf(port.group, item.name, device, shared),
        speedMbps: port.speedMbps,
        mtu: port.mtu,
        switchPorts: [],
        virtual: port.virtual,
        extra: {},
        at: port.at,
      };
    }),
  );
}

function holdersOf(port: EquipmentPort, controllers: readonly string[]): readonly (string | undefined)[] {
  return port.per === 'device' || controllers.length === 0 ? [undefined] : controllers;
}

/**
 * A group is the ways to one device: `vault data` of vault becomes `vault-1 data`, `data` becomes `vault-1 data` too.
 * A group that ports of several items name is theirs together and stays as it is.
 */
function groupOf(
  group: string | undefined,
  item: string,
  device: string,
  shared: ReadonlySet<string>,
): string | undefined {
  if (group === undefined || shared.has(group.toLowerCase())) return group;
  const words = group.toLowerCase();
  if (words === device.toLowerCase() || words.startsWith(`${device.toLowerCase()} `)) return group;
  if (words === item.toLowerCase() || words.startsWith(`${item.toLowerCase()} `))
    return `${device}${group.slice(item.length)}`;
  return `${device} ${group}`;
}

function groupsOfSeveralItems({ items }: Equipment): ReadonlySet<string> {
  const users = new Map<string, Set<string>>();
  for (const item of items)
    for (const { group } of item.ports)
      if (group !== undefined) {
        const key = group.toLowerCase();
        users.set(key, (users.get(key) ?? new Set()).add(item.name));
      }
  return new Set([...users].flatMap(([group, names]) => (names.size > 1 ? [group] : [])));
}
