/**
 * Where everything stands on the drawing of the site: hosts and all that is no storage above, switches as lanes between, storage below; the
 * controllers of a device side by side, each port a cell. A site wider than the sheet is cut into strips, each with the lanes that it needs.
 */
import type { EndpointResult, EndpointVerdict, Matrix, PathResult, Thing } from '../matrix/matrix.js';
import { groupBy } from '../text/group-by.js';
import { naturalOrder } from '../text/sentence.js';

export type PathState = PathResult['state'];

export interface PortCell {
  readonly endpoint: EndpointResult;
  readonly verdict: EndpointVerdict;
  readonly x: number;
  /** The lanes that its cables lead to, and how the way through it is. */
  readonly lanes: readonly LaneName[];
  readonly state: PathState;
  readonly endsAccess: boolean;
  readonly job: number | undefined;
}

export interface ControllerBlock {
  readonly name: string;
  readonly x: number;
  readonly width: number;
  readonly cells: readonly PortCell[];
  readonly endsAccess: boolean;
}

export interface DeviceBlock {
  readonly name: string;
  readonly x: number;
  readonly width: number;
  readonly controllers: readonly ControllerBlock[];
  readonly feeds: readonly string[];
  readonly endsAccess: boolean;
}

export interface LaneName {
  readonly kind: 'switch' | 'network';
  readonly name: string;
}

export interface Lane extends LaneName {
  /** Networks that run over a switch. */
  readonly under: string;
  readonly endsAccess: boolean;
  /** Where nobody named a host, one stands for all: how its way through this lane is. */
  readonly anyHost: PathState | undefined;
}

export interface Strip {
  readonly top: readonly DeviceBlock[];
  readonly bottom: readonly DeviceBlock[];
  readonly lanes: readonly Lane[];
}

export interface SiteLayout {
  readonly strips: readonly Strip[];
  /** Feeds whose loss would end access of some group. */
  readonly feeds: readonly string[];
}

/** Widths in the units of the drawing, which are about those of a screen. */
export const SITE = {
  width: 738,
  gutter: 126,
  cell: 58,
  controllerGap: 5,
  deviceGap: 12,
  letter: 6.2,
} as const;
/** Characters of its name that a narrow device makes room for. */
const NAME_CHARACTERS = 16;
const ROOM = SITE.width - SITE.gutter;

interface Traits {
  readonly stateOf: (endpoint: EndpointResult) => PathState;
  readonly lanesOf: (id: string) => readonly LaneName[];
  readonly ends: (kind: string, name: string) => boolean;
  readonly jobOf: (id: string) => number | undefined;
}

export function layOutSite(matrix: Matrix, jobsOf: ReadonlyMap<string, readonly number[]>): SiteLayout {
  const traits = traitsOf(matrix, jobsOf);
  const devices = [...groupBy(matrix.endpoints, ({ device }) => device)];
  const isStorage = (own: readonly EndpointResult[]): boolean => own.some(({ role }) => role === 'data');
  const rank = (own: readonly EndpointResult[]): number => (own.some(({ role }) => role === 'host') ? 0 : 1);
  const above = devices.filter(([, own]) => !isStorage(own)).sort(([, a], [, b]) => rank(a) - rank(b));
  const below = devices.filter(([, own]) => isStorage(own));
  const feedsOf = new Map(matrix.plan.model.devices.map(({ name, feeds }) => [name, feeds]));
  const rowsOf = (some: typeof devices): readonly DeviceBlock[][] =>
    fill(some.flatMap(([name, own]) => pieces(name, own, feedsOf.get(name) ?? [], traits)));
  const [top, bottom] = [rowsOf(above), rowsOf(below)];
  const lanes = lanesOf(matrix, traits);
  const strips = Array.from({ length: Math.max(top.length, bottom.length) }, (_, index): Strip => {
    const row = { top: top[index] ?? [], bottom: bottom[index] ?? [] };
    const used = new Set(
      [...row.top, ...row.bottom].flatMap(({ controllers }) =>
        controllers.flatMap(({ cells }) => cells.flatMap((cell) => cell.lanes.map(laneKey))),
      ),
    );
    return { ...row, lanes: lanes.filter((lane) => used.has(laneKey(lane))) };
  });
  const feeds = matrix.groups.flatMap(({ singlePoints }) =>
    singlePoints.filter(({ kind }) => kind === 'feed').map(({ name }) => name),
  );
  return { strips, feeds: [...new Set(feeds)].sort(naturalOrder) };
}

function traitsOf(matrix: Matrix, jobsOf: ReadonlyMap<string, readonly number[]>): Traits {
  const paths = matrix.groups.flatMap((group) => group.paths);
  const byEndpoint = new Map<string, PathResult[]>();
  const measured = new Map<string, string>();
  for (const path of paths)
    for (const id of path.endpoints) {
      const known = byEndpoint.get(id);
      if (known) known.push(path);
      else byEndpoint.set(id, [path]);
      const seen = path.things.filter(({ kind, source }) => kind === 'switch' && source === 'measured');
      if (path.endpoints.length === 1 && seen.length === 1) measured.set(id, seen[0]?.name ?? '');
    }
  const planned = new Map(matrix.plan.model.endpoints.map((endpoint) => [endpoint.id, endpoint]));
  const single = new Set(matrix.groups.flatMap(({ singlePoints }) => singlePoints.map(keyOf)));
  return {
    stateOf: (endpoint) => stateOf(endpoint, byEndpoint.get(endpoint.id) ?? []),
    lanesOf: (id) => {
      const endpoint = planned.get(id);
      const cabling = measured.get(id);
      const switches =
        cabling === undefined ? (endpoint?.switchPorts ?? []).map((port) => port.switch) : [cabling];
      if (switches.length > 0) return [...new Set(switches)].map((name) => ({ kind: 'switch', name }));
      return endpoint?.network === undefined ? [] : [{ kind: 'network', name: endpoint.network }];
    },
    ends: (kind, name) => single.has(keyOf({ kind, name })),
    jobOf: (id) => jobsOf.get(id)?.[0],
  };
}

/** Of the paths through it, the best; of a port in no group, its own verdict. */
function stateOf({ verdict, facts }: EndpointResult, paths: readonly PathResult[]): PathState {
  const states = paths.map(({ state }) => state);
  for (const state of ['live', 'unproven', 'dead'] as const) if (states.includes(state)) return state;
  if (verdict === 'differs') {
    const ends = facts.some(
      ({ fact, state }) =>
        ['address', 'service', 'box', 'link', 'light'].includes(fact) &&
        state !== 'matches' &&
        state !== 'unproven',
    );
    return ends ? 'dead' : 'live';
  }
  return verdict === 'matches' ? 'live' : verdict === 'missing' ? 'dead' : 'unproven';
}

/** A device as one block; one that is wider than the sheet as a block a controller, or as several of as many ports as fit. */
function pieces(
  name: string,
  endpoints: readonly EndpointResult[],
  feeds: readonly string[],
  traits: Traits,
): DeviceBlock[] {
  const controllers = [...groupBy(endpoints, ({ controller }) => controller)];
  const whole = block(name, controllers, feeds, traits);
  if (whole.width <= ROOM) return [whole];
  const most = Math.floor(ROOM / SITE.cell);
  return controllers.flatMap(([controller, own]) =>
    Array.from({ length: Math.ceil(own.length / most) }, (_, index) =>
      block(name, [[controller, own.slice(index * most, (index + 1) * most)]], feeds, traits),
    ),
  );
}

/** Stands at 0; `fill` moves it. */
function block(
  name: string,
  controllers: readonly (readonly [string, readonly EndpointResult[]])[],
  feeds: readonly string[],
  traits: Traits,
): DeviceBlock {
  let x = 0;
  const blocks = controllers.map(([controller, own]): ControllerBlock => {
    const start = x;
    const cells = own.map(
      (endpoint, index): PortCell => ({
        endpoint,
        verdict: endpoint.verdict,
        x: start + index * SITE.cell,
        lanes: traits.lanesOf(endpoint.id),
        state: traits.stateOf(endpoint),
        endsAccess: traits.ends('host-port', endpoint.id) || traits.ends('port', endpoint.id),
        job: traits.jobOf(endpoint.id),
      }),
    );
    const width = own.length * SITE.cell;
    x = start + width + SITE.controllerGap;
    const part = `${name}/${controller}`;
    const ends = controller !== '' && (traits.ends('controller', part) || traits.ends('adapter', part));
    return { name: controller, x: start, width, cells, endsAccess: ends };
  });
  return {
    name,
    x: 0,
    width: Math.max(x - SITE.controllerGap, Math.min(name.length, NAME_CHARACTERS) * SITE.letter + 8),
    controllers: blocks,
    feeds,
    endsAccess: traits.ends('device', name),
  };
}

/** Rows as full as they get, in the order given. */
function fill(blocks: readonly DeviceBlock[]): DeviceBlock[][] {
  const rows: DeviceBlock[][] = [];
  let x = Number.POSITIVE_INFINITY;
  for (const each of blocks) {
    if (x + each.width > ROOM) {
      rows.push([]);
      x = 0;
    }
    rows.at(-1)?.push(moved(each, SITE.gutter + x));
    x += each.width + SITE.deviceGap;
  }
  return rows;
}

function moved(device: DeviceBlock, by: number): DeviceBlock {
  return {
    ...device,
    x: device.x + by,
    controllers: device.controllers.map((one) => ({
      ...one,
      x: one.x + by,
      cells: one.cells.map((cell) => ({ ...cell, x: cell.x + by })),
    })),
  };
}

function lanesOf(matrix: Matrix, traits: Traits): readonly Lane[] {
  const users = new Map<string, LaneName & { readonly endpoints: EndpointResult[] }>();
  for (const endpoint of matrix.endpoints)
    for (const lane of traits.lanesOf(endpoint.id)) {
      const known = users.get(laneKey(lane));
      if (known === undefined) users.set(laneKey(lane), { ...lane, endpoints: [endpoint] });
      else known.endpoints.push(endpoint);
    }
  const hosts = matrix.endpoints.some(({ role }) => role === 'host');
  return [...users.values()]
    .map(({ kind, name, endpoints }): Lane => {
      const networks = [...new Set(endpoints.map(({ network }) => network))].filter((each) => each !== '');
      const data = endpoints
        .filter(({ role }) => role === 'data')
        .map((endpoint) => traits.stateOf(endpoint));
      const best = (['live', 'unproven', 'dead'] as const).find((state) => data.includes(state));
      return {
        kind,
        name,
        under: kind === 'switch' ? networks.join(', ') : 'network',
        endsAccess:
          traits.ends(kind, name) ||
          (kind === 'switch' && networks.some((network) => traits.ends('network', network))),
        anyHost: hosts ? undefined : best,
      };
    })
    .sort((a, b) => (a.kind === b.kind ? naturalOrder(a.name, b.name) : a.kind === 'switch' ? -1 : 1));
}

export function laneKey({ kind, name }: LaneName): string {
  return `${kind} ${name}`;
}

function keyOf({ kind, name }: Thing): string {
  return `${kind}\u0000${name}`;
}
