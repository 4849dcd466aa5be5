/** An equipment list as `draft` uses it. */
import type { Media, Network, PlannedService, Role, SourceRef } from '../plan/model.js';
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
  readonly at: SourceRef;
}

export interface Equipment {
  readonly site: { readonly name: string; readonly reference?: string | undefined };
  readonly networks: readonly EquipmentNetwork[];
  readonly items: readonly EquipmentItem[];
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
      at: locate(['items', index]),
    };
  });
  if (items.length === 0) issues.error('no-rows', locate(['items']));
  return {
    site: { name: written.site?.name ?? fallbackName, reference: written.site?.reference },
    networks,
    items,
  };
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
    issues.error('unknown-network', locate([...path, 'network']), {
      found: port.network,
      expected: namesList(networks),
      nearest: nearestWord(port.network, networks),
    });
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
