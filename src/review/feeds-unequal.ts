import { type Finding, finding } from '../findings/index.js';
import type { Device } from '../plan/model.js';
import { type PlanView, rowsOf, unique } from './plan-view.js';

/**
 * Devices that stand in for each other and are not fed alike: two switches of one group with unequal numbers of feeds, or each on one feed
 * only and that the same (common practice, no source). Also names of feeds that differ in letter case alone.
 */
export function feedsUnequal(view: PlanView): Finding[] {
  const devices = new Map(view.plan.devices.map((device) => [device.name, device]));
  const findings: Finding[] = [];
  const told = new Set<string>();
  for (const group of view.plan.groups) {
    const switches = unique(
      group.members.flatMap((id) => view.plan.endpoints.find((one) => one.id === id)?.switch ?? []),
    )
      .flatMap((name) => devices.get(name) ?? [])
      .filter(({ feeds }) => feeds.length > 0);
    const key = switches
      .map(({ name }) => name)
      .sort()
      .join(' ');
    if (switches.length < 2 || told.has(key)) continue;
    told.add(key);
    const amounts = new Set(switches.map(({ feeds }) => unique(feeds).length));
    const single = switches.every(({ feeds }) => unique(feeds).length === 1);
    const shared = single && new Set(switches.map(({ feeds }) => fold(feeds[0] ?? ''))).size === 1;
    if (amounts.size > 1 || shared) findings.push(unequal(group.name, switches, shared));
  }
  return [...findings, ...spellings(view)];
}

function unequal(group: string, switches: readonly Device[], shared: boolean): Finding {
  return finding(
    'feeds-unequal',
    group,
    {
      devices: switches.map(({ name, feeds }) => ({ name, feeds: unique(feeds) })),
      how: shared ? 'shared' : 'unequal',
    },
    {
      evidence: rowsOf(
        switches.map(({ name, feeds, at }) => ({ name, value: `feeds ${feeds.join(', ')}`, at })),
      ),
    },
  );
}

function spellings({ plan }: PlanView): Finding[] {
  const names = unique(plan.devices.flatMap(({ feeds }) => feeds));
  return names.flatMap((name) => {
    const twin = names.find((other) => other < name && fold(other) === fold(name));
    if (twin === undefined) return [];
    const devices = plan.devices
      .filter(({ feeds }) => feeds.includes(name) || feeds.includes(twin))
      .map((device) => ({ name: device.name, feeds: unique(device.feeds) }));
    return [
      finding(
        'feeds-unequal',
        `feed ${name}`,
        { devices, how: 'spelling' },
        {
          evidence: rowsOf(
            plan.devices
              .filter((one) => devices.some((other) => other.name === one.name))
              .map((one) => ({ name: one.name, value: `feeds ${one.feeds.join(', ')}`, at: one.at })),
          ),
        },
      ),
    ];
  });
}

function fold(feed: string): string {
  return feed.trim().toLowerCase();
}
