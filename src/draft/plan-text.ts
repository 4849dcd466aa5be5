/** The plan that goes with a drafted address list: what a list alone cannot say (gateways, reserved ranges, defaults). */
import { stringify } from 'yaml';
import type { AddressRange, Plan } from '../plan/model.js';

const HEAD = `# Drafted by Matchmark. Add what tells the devices apart (identity), racks, feeds and groups, then: matchmark review
# "observe" is what only eyes can prove, by step of the visit: add what the customer wants, take out what does not apply.
`;

export function planText({ site, networks, devices, observe }: Plan, list: string): string {
  const written = {
    plan: 1,
    site: { name: site.name, ...given('reference', site.reference) },
    networks: networks.map((network) => ({
      name: network.name,
      ...given('cidr', network.cidr),
      ...given('gateway', network.gateway),
      ...given('vlan', network.vlan),
      routed: network.routed,
      ...given('mtu', network.mtu),
      ...given('reserved', some(network.reserved.map(rangeText))),
      ...given('in-use', some(network.inUse.map(rangeText))),
    })),
    devices: devices.map(({ name, feeds, defaultAddresses }) => ({
      name,
      ...given('feeds', some(feeds)),
      ...given('default-addresses', some(defaultAddresses)),
    })),
    endpoints: list,
    ...given(
      'observe',
      some(
        observe.map(({ subject, item, expect, when }) => ({ subject, item, expect, ...given('when', when) })),
      ),
    ),
  };
  return `${HEAD}${stringify(written, { lineWidth: 0, aliasDuplicateObjects: false })}`;
}

function given<Key extends string, Value>(key: Key, value: Value | undefined): Partial<Record<Key, Value>> {
  return value === undefined ? {} : ({ [key]: value } as Record<Key, Value>);
}

function some<Item>(items: readonly Item[]): readonly Item[] | undefined {
  return items.length === 0 ? undefined : items;
}

function rangeText({ first, last }: AddressRange): string {
  return first === last ? first : `${first}-${last}`;
}
