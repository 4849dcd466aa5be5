/**
 * Groups that nobody wrote, suggested by the common practice of cabling matching ports (common practice, no source):
 * ports of the same name and role on two or more controllers of one device are ways to the same thing.
 */
import type { Endpoint, Group, Plan, Role } from '../plan/model.js';

const ROLES: readonly Role[] = ['management', 'data'];

const inferred = new WeakMap<Plan, readonly Group[]>();

/** One group for each device and role with such ports. Endpoints that any group has already are left alone. */
export function inferGroups(plan: Plan): readonly Group[] {
  const known = inferred.get(plan) ?? infer(plan);
  inferred.set(plan, known);
  return known;
}

function infer(plan: Plan): Group[] {
  const taken = new Set(plan.groups.flatMap((group) => group.members));
  const names = new Set(plan.groups.map((group) => group.name));
  const free = plan.endpoints.filter(
    (endpoint) =>
      !endpoint.virtual &&
      endpoint.controller !== undefined &&
      endpoint.group === undefined &&
      !taken.has(endpoint.id),
  );
  const freeOf = new Map<string, Endpoint[]>();
  for (const endpoint of free) {
    const ofDevice = freeOf.get(endpoint.device);
    if (ofDevice === undefined) freeOf.set(endpoint.device, [endpoint]);
    else ofDevice.push(endpoint);
  }
  const groups: Group[] = [];
  for (const device of plan.devices) {
    for (const role of ROLES) {
      const members = onSeveralControllers(
        (freeOf.get(device.name) ?? []).filter((endpoint) => endpoint.role === role),
      );
      const fabric = members.every(({ media }) => media === 'fc') ? ', Fibre Channel' : '';
      const name = `${device.name} ${role}${fabric} (inferred)`;
      const first = members[0];
      if (first === undefined || names.has(name)) continue;
      groups.push({
        name,
        need: 1,
        independent: [],
        members: members.map((endpoint) => endpoint.id),
        inferred: true,
        at: first.at,
      });
    }
  }
  return groups;
}

function onSeveralControllers(endpoints: readonly Endpoint[]): Endpoint[] {
  const controllersOf = (port: string) =>
    new Set(endpoints.filter((e) => samePort(e.port, port)).map((e) => e.controller));
  return endpoints.filter((endpoint) => controllersOf(endpoint.port).size > 1);
}

function samePort(a: string, b: string): boolean {
  return a.toLowerCase() === b.toLowerCase();
}
