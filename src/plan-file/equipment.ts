/** An equipment list as `draft` uses it. */
import type { Media, Network, PlannedObservation, PlannedService, Role, SourceRef } from '../plan/model.js';
import { nearestWord } from '../text/nearest.js';
import { namesList } from './assembly/names.js';
import { type Locate, listedNetworks } from './assembly/networks.js';
import type { Issues } from './issues.js';
import type { WrittenEquipment } from './schema.js';

export type EquipmentNetwork = Network;

export interface EquipmentPort {
  readonly name: string;
  readonly role: Role;
  /** Name of a network of the list; absent for a port that needs no address. */
  readonly network?: string | undefined;
  readonly services: readonly PlannedService[];
  readonly media?: Media | undefined;
  readonly group?: string | undefined;
  readonly speedMbps?: number | undefined;
  readonly mtu?: number | undefined;
  readonly virtual: boolean;
  /** Whether each controller has this port, or the device has it once. */
  readonly per: 'controller' | 'device';
  readonly at: SourceRef;
}

export interface EquipmentItem {
  readonly name: string;
  readonly count: number;
  /** Empty for a device without controllers. */
  readonly controllers: readonly string[];
  readonly ports: readonly EquipmentPort[];
  readonly defaultAddresses: readonly string[];
  readonly snmp?: string | undefined;
  /** Power feeds, one a supply; empty where the list does not say. */
  readonly feeds: readonly string[];
  /** Ports of a switch that cables can go to, in their order. Empty for what is no switch. */
  readonly switchPorts: readonly string[];
  /** Networks whose cables this switch takes; empty: all. */
  readonly serves: readonly string[];
  readonly at: SourceRef;
}

export interface Equipment {
  readonly site: { readonly name: string; readonly reference?: string | undefined };
  readonly networks: readonly EquipmentNetwork[];
  readonly items: readonly EquipmentItem[];
  /** What the list itself wants to be looked at. */
  readonly observe: readonly PlannedObservation[];
}

export function assembleEquipment(
  written: WrittenEquipment,
  locate: Locate,
  fallbackName: string,
  issues: Issues,
): Equipment {
  const networks = listedNetworks(written.networks ?? [], locate, issues);
  const names = networks.map((network) => network.name);
  const firstItem = new Map<string, number>();
  const items = written.items.map((item, index): EquipmentItem => {
    const first = firstItem.get(item.name);
    if (first !== undefined)
      issues.error('duplicate-name', locate(['items', index]), {
        found: item.name,
        expected: `items[${first}]`,
      });
    else firstItem.set(item.name, index);
    return {
      name: item.name,
      count: item.count ?? 1,
      controllers: item.controllers ?? [],
      ports: item.ports.map((port, at) =>
        readPort(port, locate, ['items', index, 'ports', at], names, issues),
      ),
      defaultAddresses: item['default-addresses'] ?? [],
      snmp: item.snmp,
      feeds: item.feeds ?? [],
      switchPorts: unique((item['switch-ports'] ?? []).flat()),
      serves: servedBy(item.serves ?? [], locate(['items', index, 'serves']), names, issues),
      at: locate(['items', index]),
    };
  });
  if (items.length === 0) issues.error('no-rows', locate(['items']));
  return {
    site: { name: written.site?.name ?? fallbackName, reference: written.site?.reference },
    networks,
    items,
    observe: (written.observe ?? []).map((one, index) => ({ ...one, at: locate(['observe', index]) })),
  };
}

function servedBy(
  serves: readonly string[],
  at: SourceRef,
  networks: readonly string[],
  issues: Issues,
): readonly string[] {
  for (const name of serves) if (!networks.includes(name)) unknownNetwork(name, at, networks, issues);
  return serves;
}

function unknownNetwork(name: string, at: SourceRef, networks: readonly string[], issues: Issues): void {
  issues.error('unknown-network', at, {
    found: name,
    expected: namesList(networks),
    nearest: nearestWord(name, networks),
  });
}

function unique(names: readonly string[]): readonly string[] {
  return [...new Set(names)];
}

type WrittenPort = WrittenEquipment['items'][number]['ports'][number];

function readPort(
  port: WrittenPort,
  locate: Locate,
  path: readonly PropertyKey[],
  networks: readonly string[],
  issues: Issues,
): EquipmentPort {
  if (port.network !== undefined && !networks.includes(port.network))
    unknownNetwork(port.network, locate([...path, 'network']), networks, issues);
  return {
    name: port.name,
    role: port.role ?? 'other',
    network: port.network,
    services: port.services ?? [],
    media: port.media,
    group: port.group,
    speedMbps: port.speed,
    mtu: port.mtu,
    virtual: port.virtual ?? false,
    per: port.per ?? 'controller',
    at: locate(path),
  };
}
