import { type Finding, finding } from '../findings/index.js';
import { inferGroups } from '../redundancy/infer.js';
import { type PlanView, rowsOf, unique } from './plan-view.js';

/**
 * Devices with two controllers or more of which no endpoint is in a group, neither one that somebody wrote nor one that ports of the same
 * name suggest: whatever its ports are called, it is said (DESIGN 3). Inferred groups stand in the review themselves.
 */
export function controllersWithoutGroup(view: PlanView): Finding[] {
  const groups = [...view.plan.groups, ...inferGroups(view.plan)];
  const from = new Set(groups.map((group) => group.from));
  const members = new Set(groups.flatMap((group) => group.members));
  return view.plan.devices.flatMap((device) => {
    const endpoints = view.endpointsOf(device.name);
    const controllers = unique([
      ...Object.keys(device.controllers),
      ...endpoints.flatMap(({ controller }) => controller ?? []),
    ]);
    const written = from.has(device.name) || endpoints.some(({ id }) => members.has(id));
    if (controllers.length < 2 || written) return [];
    return [
      finding(
        'controllers-without-group',
        device.name,
        { device: device.name, controllers },
        {
          about: endpoints.map(({ id }) => id),
          evidence: rowsOf([
            { name: device.name, value: `controllers ${controllers.join(', ')}`, at: device.at },
          ]),
        },
      ),
    ];
  });
}
