import { type Finding, finding } from '../findings/index.js';
import type { Device } from '../plan/model.js';
import { fewPairs } from './few-pairs.js';
import { groupBy, type PlanView, rowsOf, unique } from './plan-view.js';

/** Where devices stand and what feeds them. */
export function rackFindings(view: PlanView): Finding[] {
  return [...unitsOverlap(view.plan.devices), ...view.plan.devices.flatMap((device) => feeds(view, device))];
}

function unitsOverlap(devices: readonly Device[]): Finding[] {
  const findings: Finding[] = [];
  for (const inRack of groupBy(devices, ({ rack, units }) =>
    rack === undefined || units === undefined ? undefined : rack.trim().toLowerCase(),
  ).values()) {
    const isTold = fewPairs<Device>();
    inRack.forEach((first, index) => {
      for (let at = index + 1; at < inRack.length; at += 1) {
        const second = inRack[at];
        if (first.units === undefined || second?.units === undefined) continue;
        const from = Math.max(first.units.from, second.units.from);
        const to = Math.min(first.units.to, second.units.to);
        if (from > to || !isTold(first, second)) continue;
        findings.push(
          finding(
            'rack-units-overlap',
            first.name,
            {
              rack: first.rack ?? '',
              devices: [first.name, second.name],
              units: from === to ? `unit ${from}` : `units ${from}-${to}`,
            },
            { evidence: rowsOf([first, second].map(unitsRow)) },
          ),
        );
      }
    });
  }
  return findings;
}

function unitsRow({ name, units, at }: Device) {
  return { name, value: `units ${units?.from}-${units?.to}`, at };
}

function feeds(view: PlanView, device: Device): Finding[] {
  const different = unique(device.feeds.map((feed) => feed.trim().toLowerCase()));
  if (device.feeds.length === 0 || different.length > 1) return [];
  const controllers = unique([
    ...Object.keys(device.controllers),
    ...view.endpointsOf(device.name).flatMap((endpoint) => endpoint.controller ?? []),
  ]).length;
  const ordinary = device.feeds.length === 1 && controllers < 2;
  return [
    finding(
      'feeds-not-redundant',
      device.name,
      { device: device.name, feeds: device.feeds, controllers },
      {
        evidence: rowsOf([{ name: device.name, value: `feeds ${device.feeds.join(', ')}`, at: device.at }]),
        ...(ordinary ? { severity: 'note' as const } : {}),
      },
    ),
  ];
}
