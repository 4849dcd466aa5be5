/** Redundancy groups as listed, and those that only the `group` column names. */
import type { Device, Endpoint, Group } from '../../plan/model.js';
import { nearestWord } from '../../text/nearest.js';
import type { Issues } from '../issues.js';
import type { WrittenGroup } from '../schema.js';
import { namesList } from './names.js';
import type { Locate } from './networks.js';

/**
 * What the paths of a group must not share where nobody says. Common practice, no source: one controller and one switch may be lost.
 * Not the network, because the management ports of one device stand in one network by design.
 */
const DEFAULT_INDEPENDENT = ['controller', 'switch'] as const;

/** Management ports alone: most sites have one management switch, on purpose. That it is a single point is still said, as a note. */
const DEFAULT_OF_MANAGEMENT = ['controller'] as const;

function defaultIndependent(members: readonly Endpoint[] | undefined): readonly string[] {
  const managementOnly =
    members !== undefined && members.length > 0 && members.every(({ role }) => role === 'management');
  return managementOnly ? DEFAULT_OF_MANAGEMENT : DEFAULT_INDEPENDENT;
}

export function assembleGroups(
  written: readonly WrittenGroup[],
  endpoints: readonly Endpoint[],
  locate: Locate,
  issues: Issues,
): Group[] {
  const members = new Map<string, Endpoint[]>();
  for (const endpoint of endpoints) {
    if (endpoint.group === undefined) continue;
    members.set(endpoint.group, [...(members.get(endpoint.group) ?? []), endpoint]);
  }
  const groups = new Map<string, Group>();
  written.forEach((group, index) => {
    const at = locate(['groups', index]);
    if (groups.has(group.name)) {
      issues.error('duplicate-name', at, { found: group.name, expected: 'the name of another group' });
      return;
    }
    groups.set(group.name, {
      name: group.name,
      need: group.need ?? 1,
      independent: group.independent ?? defaultIndependent(members.get(group.name)),
      from: group.from,
      to: group.to,
      members: group.from === undefined ? ids(members.get(group.name)) : [],
      inferred: false,
      at,
    });
  });
  for (const [name, own] of members) {
    const [first] = own;
    if (first === undefined || groups.has(name)) continue;
    groups.set(name, {
      name,
      need: 1,
      independent: defaultIndependent(own),
      members: ids(own),
      inferred: false,
      at: first.at,
    });
  }
  return [...groups.values()];
}

function ids(endpoints: readonly Endpoint[] | undefined): string[] {
  return (endpoints ?? []).map((endpoint) => endpoint.id);
}

/** A group of paths runs from a device to another group, and both have to be there. */
export function checkEnds(
  written: readonly WrittenGroup[],
  devices: readonly Device[],
  groups: readonly Group[],
  locate: Locate,
  issues: Issues,
): void {
  const groupNames = groups.map((group) => group.name);
  const deviceNames = devices.map((device) => device.name);
  written.forEach((group, index) => {
    if ((group.from === undefined) !== (group.to === undefined)) {
      const missing = group.from === undefined ? '"from"' : '"to"';
      issues.error('half-a-path', locate(['groups', index]), { expected: missing });
    }
    if (group.from !== undefined && !deviceNames.includes(group.from))
      issues.error('unknown-device', locate(['groups', index, 'from']), unknown(group.from, deviceNames));
    const others = groupNames.filter((name) => name !== group.name);
    if (group.to !== undefined && !others.includes(group.to))
      issues.error('unknown-group', locate(['groups', index, 'to']), unknown(group.to, others));
  });
}

function unknown(found: string, known: readonly string[]) {
  return { found, expected: namesList(known), nearest: nearestWord(found, known) };
}
