/** Where the things of a group stand on its drawing: the host at the left, switches between, controller ports at the right. */
import type { EndpointResult, GroupResult, PathResult, Thing } from '../matrix/matrix.js';

export interface Node {
  readonly key: string;
  readonly kind: string;
  readonly name: string;
  /** Second line: what the thing belongs to. */
  readonly under: string;
  /** A port stands for its device and its controller as well, where one of these is the single point. */
  readonly partOf?: readonly Thing[] | undefined;
  readonly column: number;
  readonly row: number;
  readonly single: boolean;
}

export interface Edge {
  readonly path: PathResult;
  /** Keys of the nodes it runs through, left to right. */
  readonly through: readonly string[];
}

export interface Layout {
  readonly nodes: readonly Node[];
  readonly edges: readonly Edge[];
  readonly columns: number;
  readonly rows: number;
  /** Single points that are no node of the drawing (feeds, networks, adapters). */
  readonly unplaced: readonly Thing[];
  readonly pathsLeftOut: number;
}

/** More paths than this make no readable drawing; those that do not live are drawn first, the text below names all. */
export const PATHS_DRAWN = 32;

export interface Surroundings {
  readonly endpoints: ReadonlyMap<string, EndpointResult>;
}

type Waypoint = Omit<Node, 'row' | 'single' | 'column'>;

export function layOut(group: GroupResult, around: Surroundings): Layout {
  const order = { dead: 0, unproven: 1, live: 2 } as const;
  const drawn = [...group.paths].sort((a, b) => order[a.state] - order[b.state]).slice(0, PATHS_DRAWN);
  const kept = group.paths.filter((path) => drawn.includes(path));
  const ways = kept.map((path) => ({ path, way: wayOf(path, around) }));
  const columns = Math.max(2, ...ways.map(({ way }) => way.length));
  const nodes = new Map<string, Node>();
  const filled = new Array<number>(columns).fill(0);
  const edges = ways.map(({ path, way }) => ({
    path,
    through: way.map((point, index) => {
      // The last thing of every path is its port and stands at the right, however few switches come before it.
      const column = index === way.length - 1 ? columns - 1 : index;
      const key = `${column} ${point.key}`;
      if (!nodes.has(key)) {
        const row = filled[column] ?? 0;
        filled[column] = row + 1;
        nodes.set(key, { ...point, key, column, row, single: isSingle(group, point) });
      }
      return key;
    }),
  }));
  const named = [...nodes.values()];
  return {
    nodes: named,
    edges,
    columns,
    rows: Math.max(1, ...filled),
    unplaced: group.singlePoints.filter((single) => !named.some((node) => isPoint(node, single))),
    pathsLeftOut: group.paths.length - kept.length,
  };
}

function wayOf(path: PathResult, { endpoints }: Surroundings): readonly Waypoint[] {
  const last = path.endpoints.at(-1) ?? path.id;
  const start: Waypoint =
    path.endpoints.length > 1
      ? port(path.endpoints[0] ?? '', endpoints)
      : // The plan names no host for this group: what starts its paths is any host there may be, never the laptop.
        anyoneAt(endpoints.get(last));
  const switches = path.things
    .filter(({ kind }) => kind === 'switch')
    .map(({ name, source }) => ({
      key: `switch ${name}`,
      kind: 'switch',
      name,
      under: source === 'measured' ? 'switch, measured' : 'switch, from the plan',
    }));
  const networks = path.things
    .filter(({ kind }) => kind === 'network')
    .map(({ name }) => ({ key: `network ${name}`, kind: 'network', name, under: 'network' }));
  return [start, ...(switches.length > 0 ? switches : networks.slice(0, 1)), port(last, endpoints)];
}

function anyoneAt(endpoint: EndpointResult | undefined): Waypoint {
  return endpoint?.role === 'management'
    ? { key: 'anyone', kind: 'anyone', name: 'Whoever manages it', under: '' }
    : { key: 'anyone', kind: 'anyone', name: 'Any host', under: 'the plan names none' };
}

function port(id: string, endpoints: ReadonlyMap<string, EndpointResult>): Waypoint {
  const endpoint = endpoints.get(id);
  const under =
    endpoint === undefined
      ? ''
      : [endpoint.address, endpoint.network].filter((part) => part !== '').join(' · ');
  return { key: `port ${id}`, kind: 'port', name: id, under, partOf: partsOf(endpoint) };
}

function partsOf(endpoint: EndpointResult | undefined): readonly Thing[] {
  if (endpoint === undefined) return [];
  const { device, controller } = endpoint;
  const own = controller === '' ? [] : [`${device}/${controller}`, controller];
  return [{ kind: 'device', name: device }, ...own.map((name) => ({ kind: 'controller', name }))];
}

function isSingle(group: GroupResult, point: Waypoint): boolean {
  return group.singlePoints.some((single) => isPoint(point, single));
}

function isPoint({ kind, name, partOf = [] }: Waypoint, single: Thing): boolean {
  if (kind !== 'port') return kind === single.kind && name === single.name;
  return name === single.name || partOf.some((one) => one.kind === single.kind && one.name === single.name);
}
