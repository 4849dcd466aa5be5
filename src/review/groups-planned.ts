import { type Finding, finding } from '../findings/index.js';
import { type PlanView, rowsOf, unique } from './plan-view.js';

/** Devices with two controllers or more of which no endpoint is in a group that somebody wrote (DESIGN 3). */
export function controllersWithoutGroup(view: PlanView): Finding[] {
  return view.plan.devices.flatMap((device) => {
    const endpoints = view.endpointsOf(device.name);
    const controllers = unique([
      ...Object.keys(device.controllers),
      ...endpoints.flatMap(({ controller }) => controller ?? []),
    ]);
    const written = view.plan.groups.some(
      ({ from, members }) => from === device.name || endpoints.some(({ id }) => members.includes(id)),
    );
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
