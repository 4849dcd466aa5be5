/** Rows -> endpoints: id, role, network, and what is still open. */
import { familyOf } from '../../plan/address.js';
import type { Endpoint, Network, PlannedSwitchPort, Role } from '../../plan/model.js';
import { networkFinder } from '../../plan/network-finder.js';
import { formatWhere } from '../../plan/where.js';
import { nearestWord } from '../../text/nearest.js';
import type { Issues } from '../issues.js';
import type { LocatedRow } from '../row.js';
import { withoutSecrets } from '../secret-words.js';
import { namesList } from './names.js';

export function assembleEndpoints(
  rows: readonly LocatedRow[],
  networks: readonly Network[],
  issues: Issues,
): Endpoint[] {
  const firstAt = new Map<string, string>();
  const closest = networkFinder(networks);
  const byName = new Map(networks.map((network) => [network.name, network]));
  return rows.flatMap((row) => {
    const endpoint = assembleEndpoint(row, closest, byName, issues);
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
  closest: (address: string) => Network | undefined,
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
  const switchPorts = switchPortsOf(row, issues);
  return {
    id,
    device,
    controller,
    port,
    role,
    network: networkOf(row, closest, byName, issues),
    address: written.address?.address,
    prefixBits: written.address?.prefixBits,
    mac: written.mac,
    wwpn: written.wwpn,
    media: written.media,
    services: written.services ?? [],
    group: written.group,
    switch: switchPorts[0]?.switch,
    switchPort: switchPorts[0]?.port ?? written['switch port']?.[0],
    switchPorts,
    speedMbps: written.speed,
    mtu: written.mtu,
    interface: written.interface,
    virtual: written.virtual ?? false,
    defaultAddress: written['default address'],
    snmp: written.snmp,
    note: noteOf(row, issues),
    extra: row.extra,
    at: row.at,
  };
}

/** One for each member of the link. One switch serves for all its ports; else there are as many ports as switches, or none. */
function switchPortsOf(row: LocatedRow, issues: Issues): readonly PlannedSwitchPort[] {
  const switches = row.written.switch ?? [];
  const ports = row.written['switch port'] ?? [];
  const [only] = switches;
  const refuse = (expected: string): readonly PlannedSwitchPort[] => {
    issues.error('bad-value', row.atColumn('switch port'), { found: ports.join('+'), expected });
    return [];
  };
  if (only === undefined)
    return ports.length < 2
      ? []
      : refuse('one port, or the switches that the members end at in the column "switch"');
  if (ports.length === 0) return switches.map((name) => ({ switch: name }));
  if (switches.length > 1 && ports.length !== switches.length)
    return refuse(`${switches.length} ports joined by +, one for each of ${switches.join('+')}`);
  const members = ports.map((port, index) => ({ switch: switches[index] ?? only, port }));
  const distinct = new Set(members.map((member) => JSON.stringify([member.switch, member.port])));
  return distinct.size < members.length ? refuse('a port of its own for each member') : members;
}

function noteOf(row: LocatedRow, issues: Issues): string | undefined {
  const { note } = row.written;
  const kept = note === undefined ? undefined : withoutSecrets(note);
  if (kept !== note) issues.note('secret-left-out', row.atColumn('note'), { found: 'note' });
  return kept;
}

/** Where the list does not say: a port called mgmt is a management port, of any other nothing is known. */
function usualRole(port: string): Role {
  return /^(mgmt|mgt|management)(?![a-z])/i.test(port) ? 'management' : 'other';
}

function networkOf(
  row: LocatedRow,
  closest: (address: string) => Network | undefined,
  byName: ReadonlyMap<string, Network>,
  issues: Issues,
): string | undefined {
  const { network: name, address } = row.written;
  if (name === undefined) return address === undefined ? undefined : closest(address.address)?.name;
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
  return otherFamily ? (closest(address.address) ?? named).name : named.name;
}
