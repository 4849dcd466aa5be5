/** The things that a path runs through, and how they are called. */

import type { Thing } from '../matrix/matrix.js';
import type { Device, Endpoint, Network } from '../plan/model.js';
import { inWords, naturalOrder } from '../text/sentence.js';
import type { SwitchLink } from './switch-links.js';

export type SourcedThing = Thing & { readonly source: 'planned' | 'measured' };

/** At least one of these has to work. One thing: the path cannot do without it. Several: either will do (two feeds). */
export type Requirement = readonly SourcedThing[];

/** Kinds that every path has without being asked, in the order in which they are shown. */
const KINDS = [
  'controller',
  'switch',
  'switch-link',
  'network',
  'feed',
  'host-port',
  'adapter',
  'port',
  'device',
  'rack',
];

/** `Switch`, `host port` and `host_port` are the kinds `switch` and `host-port`; other words stay as columns of the list. */
export function kindOf(text: string): string {
  const folded = foldHeader(text);
  return KINDS.find((kind) => foldHeader(kind) === folded) ?? text.trim().toLowerCase();
}

/** Header match as in the address list: case, blanks, `_` and `-` do not count (DESIGN 3). */
function foldHeader(text: string): string {
  return text.toLowerCase().replace(/[\s_-]+/g, '');
}

export function keyOf(thing: Thing): string {
  return `${thing.kind}\u0000${thing.name}`;
}

/** `switch loft-switch-1`, `controller vault-1/A`. */
export function describeThing(thing: Thing): string {
  return `${inWords(thing.kind)} ${thing.name}`;
}

export function compareThings(a: Thing, b: Thing): number {
  const rank = (thing: Thing) => (KINDS.includes(thing.kind) ? KINDS.indexOf(thing.kind) : KINDS.length);
  return rank(a) - rank(b) || naturalOrder(a.kind, b.kind) || naturalOrder(a.name, b.name);
}

export function sameThing(a: Thing, b: Thing): boolean {
  return a.kind === b.kind && a.name === b.name;
}

export function bareThing({ kind, name }: Thing): Thing {
  return { kind, name };
}

/** What of the things of an endpoint is not only planned. */
export interface Measured {
  /** Where the forwarding table or LLDP shows it. */
  readonly switch?: string | undefined;
  /** Switches of the members of an aggregated link that carry it: any of them will do. */
  readonly switches?:
    | readonly { readonly name: string; readonly source: 'planned' | 'measured' }[]
    | undefined;
  /** Fabric that its login was seen in. */
  readonly network?: string | undefined;
  /** The device behind it was shown to be the planned one, so that its controller is. */
  readonly controller?: boolean | undefined;
  /** It answered in its network. */
  readonly answered?: boolean | undefined;
}

export interface Lookup {
  readonly devices: ReadonlyMap<string, Device>;
  readonly endpoints: ReadonlyMap<string, Endpoint>;
  readonly networks: ReadonlyMap<string, Network>;
  /** What was measured of an endpoint: id -> things. */
  readonly measured: ReadonlyMap<string, Measured>;
  readonly switchLinks: readonly SwitchLink[];
  /** Groups of which no path is held: name -> how many there would be. */
  readonly tooMany: ReadonlyMap<string, number>;
}

/** What a path needs at one end. `end` says whether the endpoint starts the path at a host or ends it at the array. */
export function requirementsOf(
  endpoint: Endpoint,
  end: 'only' | 'host' | 'array',
  columns: readonly string[],
  lookup: Lookup,
): Requirement[] {
  const needs: Requirement[] = [];
  const add = (kind: string, name: string | undefined, source: 'planned' | 'measured' = 'planned') => {
    if (name !== undefined && name !== '') needs.push([{ kind, name, source }]);
  };
  const measured = lookup.measured.get(endpoint.id);
  const switches = switchesOf(endpoint, measured);
  const shown = measured?.controller === true ? 'measured' : 'planned';
  const part = endpoint.controller === undefined ? undefined : `${endpoint.device}/${endpoint.controller}`;
  if (end === 'host') {
    add('host-port', endpoint.id, shown);
    add('adapter', part ?? adapterOf(endpoint), part === undefined ? 'planned' : shown);
  } else {
    add('controller', part, shown);
    // Several host ports may meet at one port of a device without controllers: then that port is all there is.
    if (end === 'array' && part === undefined) add('port', endpoint.id, shown);
  }
  if (switches.length > 0) needs.push(switches);
  add(
    'network',
    measured?.network ?? endpoint.network,
    measured?.network !== undefined || measured?.answered === true ? 'measured' : 'planned',
  );
  needs.push(...feedsOf(endpoint.device, lookup));
  needs.push(...feedsOfSwitches(switches, lookup));
  for (const column of columns) add(column, columnValue(endpoint, column, lookup));
  return needs;
}

/** The switch that the endpoint hangs on; of an aggregated link those of its members, any of which will do. */
export function switchesOf(endpoint: Endpoint, measured: Measured | undefined): SourcedThing[] {
  if (measured?.switch !== undefined) return [{ kind: 'switch', name: measured.switch, source: 'measured' }];
  if (measured?.switches !== undefined && measured.switches.length > 0)
    return measured.switches.map((one) => ({ kind: 'switch', ...one }));
  const { switchPorts } = endpoint;
  const planned = new Set(
    switchPorts.length > 1 ? switchPorts.map((member) => member.switch) : [endpoint.switch],
  );
  return [...planned].flatMap((name) =>
    name === undefined || name === '' ? [] : [{ kind: 'switch', name, source: 'planned' as const }],
  );
}

/** Of several switches any will do, and so will the feeds of any; one whose feeds nobody wrote needs none that is known. */
function feedsOfSwitches(switches: readonly SourcedThing[], lookup: Lookup): Requirement[] {
  const each = switches.map(({ name }) => feedsOf(name, lookup).flat());
  if (each.length < 2) return each.filter((feeds) => feeds.length > 0);
  if (each.some((feeds) => feeds.length === 0)) return [];
  return [[...new Map(each.flat().map((feed) => [feed.name, feed])).values()]];
}

/** A device on one feed needs it; on several it needs any one of them. A device with no feed written needs none that is known. */
function feedsOf(device: string, lookup: Lookup): Requirement[] {
  const feeds = [...new Set(lookup.devices.get(device)?.feeds ?? [])];
  return feeds.length === 0
    ? []
    : [feeds.map((name) => ({ kind: 'feed', name, source: 'planned' as const }))];
}

/** A host without controllers may have a column of its own for the card that a port is on. */
function adapterOf(endpoint: Endpoint): string | undefined {
  const header = Object.keys(endpoint.extra).find((key) => foldHeader(key) === 'adapter');
  const name = header === undefined ? '' : (endpoint.extra[header]?.trim() ?? '');
  return name === '' ? undefined : `${endpoint.device}/${name}`;
}

/** Value of a kind that `independent` names beyond the usual ones: the device, its rack, or a column of the address list. */
function columnValue(endpoint: Endpoint, column: string, lookup: Lookup): string | undefined {
  if (column === 'device') return endpoint.device;
  const header = Object.keys(endpoint.extra).find((key) => foldHeader(key) === foldHeader(column));
  const written = header === undefined ? undefined : endpoint.extra[header]?.trim();
  if (written !== undefined && written !== '') return written;
  if (column === 'rack') return lookup.devices.get(endpoint.device)?.rack;
  if (column === 'vlan') return lookup.networks.get(endpoint.network ?? '')?.vlan?.toString();
  return undefined;
}

/** Kinds that every path has anyway; only others need a column. */
export function isUsualKind(kind: string): boolean {
  return ['controller', 'switch', 'switch-link', 'network', 'feed', 'host-port', 'adapter', 'port'].includes(
    kind,
  );
}
