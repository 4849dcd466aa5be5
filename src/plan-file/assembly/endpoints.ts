/** Rows -> endpoints: id, role, network, and what is still open. */
import { cidrContains, familyOf, parseCidr } from '../../plan/address.js';
import type { Endpoint, Network, Role } from '../../plan/model.js';
import { formatWhere } from '../../plan/where.js';
import { nearestWord } from '../../text/nearest.js';
import type { Issues } from '../issues.js';
import type { LocatedRow } from '../row.js';
import { namesList } from './names.js';

export function assembleEndpoints(
  rows: readonly LocatedRow[],
  networks: readonly Network[],
  issues: Issues,
): Endpoint[] {
  const firstAt = new Map<string, string>();
  const byName = new Map(networks.map((network) => [network.name, network]));
  return rows.flatMap((row) => {
    const endpoint = assembleEndpoint(row, networks, byName, issues);
    const earlier = firstAt.get(endpoint.id);
    if (earlier !== undefined) {
      issues.error('duplicate-endpoint', row.atColumn('port'), { found: endpoint.id, expected: earlier });
      return [];
    }
    firstAt.set(endpoint.id, formatWhere(row.at));
    return [endpoint];
  });
}

function assembleEndpoint(
  row: LocatedRow,
  networks: readonly Network[],
  byName: ReadonlyMap<string, Network>,
  issues: Issues,
): Endpoint {
  const { written } = row;
  const { device, controller, port } = written;
  const id = controller === undefined ? `${device}/${port}` : `${device}/${controller}/${port}`;
  const role = written.role ?? usualRole(port);
  if (written.address === undefined && written.media !== 'fc' && role !== 'power')
    issues.note('address-open', row.atColumn('address'), { expected: id });
  if (written.services?.some((service) => service.name === 'iscsi' && service.port === 860) === true)
    issues.note('iscsi-is-860', row.atColumn('services'), { found: 'iscsi', nearest: 'iscsi-target' });
  return {
    id,
    device,
    controller,
    port,
    role,
    network: networkOf(row, networks, byName, issues),
    address: written.address?.address,
    prefixBits: written.address?.prefixBits,
    mac: written.mac,
    media: written.media,
    services: written.services ?? [],
    group: written.group,
    switch: written.switch,
    switchPort: written['switch port'],
    speedMbps: written.speed,
    mtu: written.mtu,
    interface: written.interface,
    virtual: written.virtual ?? false,
    defaultAddress: written['default address'],
    snmp: written.snmp,
    note: written.note,
    extra: row.extra,
    at: row.at,
  };
}

/** Where the list does not say: a port called mgmt is a management port, of any other nothing is known. */
function usualRole(port: string): Role {
  return /^(mgmt|mgt|management)(?![a-z])/i.test(port) ? 'management' : 'other';
}

function networkOf(
  row: LocatedRow,
  networks: readonly Network[],
  byName: ReadonlyMap<string, Network>,
  issues: Issues,
): string | undefined {
  const { network: name, address } = row.written;
  if (name === undefined) return address === undefined ? undefined : closest(networks, address.address)?.name;
  const named = byName.get(name);
  if (named === undefined) {
    const known = [...byName.keys()];
    issues.error('unknown-network', row.atColumn('network'), {
      found: name,
      expected: namesList(known),
      nearest: nearestWord(name, known),
    });
    return undefined;
  }
  // An inferred network of two families carries its name once; the other family goes where its address lies.
  const otherFamily =
    named.inferred &&
    named.cidr !== undefined &&
    address !== undefined &&
    familyOf(named.cidr) !== familyOf(address.address);
  return otherFamily ? (closest(networks, address.address) ?? named).name : named.name;
}

/** The network with the longest prefix that contains the address (RFC 4632 §5.1). */
function closest(networks: readonly Network[], address: string): Network | undefined {
  const bits = (network: Network) => parseCidr(network.cidr ?? '')?.prefixBits ?? -1;
  return networks
    .filter((network) => network.cidr !== undefined && cidrContains(network.cidr, address))
    .reduce<Network | undefined>((a, b) => (a === undefined || bits(b) > bits(a) ? b : a), undefined);
}
