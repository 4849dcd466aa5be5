/**
 * One name, one spelling: `Loft-Switch` in one row and `loft-switch` in the next are one switch, and a plan that took them for two
 * would find redundancy where there is none. The listed spelling wins, else the first one met.
 */
import type { LocatedRow } from '../row.js';
import type { WrittenPlan } from '../schema.js';

type Written = Omit<WrittenPlan, 'plan' | 'endpoints'>;

class Spellings {
  readonly #first = new Map<string, string>();

  constructor(listed: readonly string[] = []) {
    for (const name of listed) this.of(name);
  }

  of(name: string): string {
    const key = name.toLowerCase();
    const known = this.#first.get(key);
    if (known !== undefined) return known;
    this.#first.set(key, name);
    return name;
  }

  maybe(name: string | undefined): string | undefined {
    return name === undefined ? undefined : this.of(name);
  }
}

export function unifySpelling<W extends Written>(
  written: W,
  rows: readonly LocatedRow[],
): { written: W; rows: LocatedRow[] } {
  const devices = new Spellings((written.devices ?? []).map((device) => device.name));
  const networks = new Spellings((written.networks ?? []).map((network) => network.name));
  const groups = new Spellings((written.groups ?? []).map((group) => group.name));
  const controllers = new Map<string, Spellings>();
  for (const device of written.devices ?? [])
    controllers.set(device.name, new Spellings(Object.keys(device.controllers ?? {})));
  const controllersOf = (device: string) => {
    const own = controllers.get(device) ?? new Spellings();
    controllers.set(device, own);
    return own;
  };
  const unified = rows.map((row): LocatedRow => {
    const device = devices.of(row.written.device);
    return {
      ...row,
      written: {
        ...row.written,
        device,
        controller: controllersOf(device).maybe(row.written.controller),
        network: networks.maybe(row.written.network),
        group: groups.maybe(row.written.group),
        // A switch may be a device of the plan as well.
        switch: row.written.switch?.map((name) => devices.of(name)),
      },
    };
  });
  const paths = written.groups?.map((group) => ({
    ...group,
    from: devices.maybe(group.from),
    to: groups.maybe(group.to),
  }));
  return { written: paths === undefined ? written : { ...written, groups: paths }, rows: unified };
}
