/** Where a question to an address goes from here, by the interfaces and routes of this machine. Pure. */
import {
  type Block,
  blockOf,
  cidrContains,
  familyOf,
  hostOf,
  isLinkLocal,
  isLoopback,
  needsZone,
  parseCidr,
  toNumber,
} from '../plan/address.js';
import type { Reach, Vantage, VantageInterface } from '../sighting/types.js';
import { list } from '../text/sentence.js';

export interface ReachResult {
  readonly reach: Reach;
  /** Interface that the question leaves by. */
  readonly interface?: string | undefined;
  readonly sourceAddress?: string | undefined;
  readonly gateway?: string | undefined;
  /** The address is one of this machine's own (not 127.0.0.0/8 or ::1, see `loopback`). */
  readonly own: boolean;
  /** 127.0.0.0/8 (RFC 1122 §3.2.1.3) or ::1: answered inside this machine, no wire and no ARP. */
  readonly loopback: boolean;
  /** Why `no-route`, or what is not sure. */
  readonly reason?: string | undefined;
  /** There is a way, and it is not known which: a link-local address of IPv6 and several ports with link. */
  readonly cause?: 'port-unknown' | undefined;
  /** The own `address/prefix` that makes it on-link, where that takes in more than the planned network: it may lie elsewhere. */
  readonly widerThanPlanned?: string | undefined;
}

interface Way extends Block {
  readonly port: VantageInterface | undefined;
  readonly interface: string;
  readonly gateway?: string | undefined;
}

/**
 * The longest prefix that holds the address decides (RFC 1812 §5.2.4.3); an interface's own prefix is a way without a gateway
 * (RFC 1122 §3.3.1.1) and wins a tie, of several ports the one whose route the system prefers; among equal routes the first listed wins,
 * for they are listed by preference. `planned`: the network of the plan that holds the address. `near`: networks on the same cable, which
 * tell on which port a link-local address of IPv6 lies.
 */
export function reachOf(
  vantage: Vantage,
  address: string,
  planned?: string,
  near: readonly string[] = [],
): ReachResult {
  if (isLoopback(address)) return loopbackReach(vantage, address);
  const { ways, own } = routingOf(vantage);
  const holder = own.get(address);
  if (holder !== undefined)
    return {
      reach: 'on-link',
      interface: holder.name,
      sourceAddress: address,
      own: true,
      loopback: false,
    };
  if (needsZone(address)) return linkLocalReach(vantage, address, near);
  const way = bestWay(ways, address);
  if (way === undefined) return withoutWay(vantage, address);
  const sourceAddress = sourceOf(way, address);
  const onLink = way.gateway === undefined && isEthernet(way.port);
  const wider = onLink && planned !== undefined ? widerThan(planned, way.port) : undefined;
  return {
    reach: onLink ? 'on-link' : 'routed',
    interface: way.interface,
    ...(sourceAddress === undefined ? {} : { sourceAddress }),
    ...(way.gateway === undefined ? {} : { gateway: way.gateway }),
    own: false,
    loopback: false,
    ...(wider === undefined ? {} : { widerThanPlanned: wider }),
  };
}

/**
 * A laptop with /8 among planned /24s asks on its own link for everything. Where its address lies in the planned network, or its prefix
 * is no larger, both mean the same link.
 */
function widerThan(planned: string, port: VantageInterface | undefined): string | undefined {
  const network = blockOf(planned);
  const own = (port?.addresses ?? []).filter((text) => {
    const block = blockOf(text);
    return block.family === network.family && block.first <= network.last && network.first <= block.last;
  });
  const agrees = own.some((text) => {
    const address = parseCidr(text)?.address;
    return (
      blockOf(text).prefixBits >= network.prefixBits ||
      (address !== undefined && cidrContains(planned, address))
    );
  });
  return agrees ? undefined : own[0];
}

interface Routing {
  /** Longest prefix first. */
  readonly ways: readonly Way[];
  readonly own: ReadonlyMap<string, VantageInterface>;
}

/** Worked out once a vantage: a plan asks about thousands of addresses. */
const routings = new WeakMap<Vantage, Routing>();

function routingOf(vantage: Vantage): Routing {
  const known = routings.get(vantage);
  if (known !== undefined) return known;
  const connected = vantage.interfaces
    .filter((port) => port.up)
    .flatMap((port) => port.addresses.map((own): Way => ({ ...blockOf(own), port, interface: port.name })));
  const routes = vantage.routes
    .map((route): Way => {
      const port = vantage.interfaces.find((each) => each.name === route.interface);
      return { ...blockOf(route.destination), port, interface: route.interface, gateway: route.gateway };
    })
    .filter((way) => way.port === undefined || way.port.up);
  const routing = {
    // Array.prototype.sort is stable, so a tie keeps this order: the systems list their own prefixes as routes, by preference.
    ways: [
      ...routes.filter(({ gateway }) => gateway === undefined),
      ...connected,
      ...routes.filter(({ gateway }) => gateway !== undefined),
    ].sort((a, b) => b.prefixBits - a.prefixBits),
    own: new Map(
      vantage.interfaces.flatMap((port) => ownAddresses(port).map((address) => [address, port] as const)),
    ),
  };
  routings.set(vantage, routing);
  return routing;
}

function bestWay(ways: readonly Way[], address: string): Way | undefined {
  const family = familyOf(address);
  const value = toNumber(address);
  return ways.find((way) => way.family === family && value >= way.first && value <= way.last);
}

function withoutWay(vantage: Vantage, address: string): ReachResult {
  const none = { own: false, loopback: false } as const;
  const dark = vantage.interfaces.find(
    (port) => !port.up && port.addresses.some((own) => cidrContains(own, address)),
  );
  if (dark !== undefined)
    return {
      ...none,
      reach: 'no-route',
      interface: dark.name,
      reason: `interface ${dark.name} has an address of that network but no link: is its cable in?`,
    };
  const other = vantage.interfaces.find(
    (port) =>
      port.up &&
      ownAddresses(port).some(
        (own) => familyOf(own) === familyOf(address) && !isLoopback(own) && !isLinkLocal(own),
      ),
  );
  if (vantage.routesUnknown !== undefined && other !== undefined)
    return {
      ...none,
      reach: 'routed',
      interface: other.name,
      reason: `the routes of this laptop could not be read (${vantage.routesUnknown}); a router may or may not lead there`,
    };
  return { ...none, reach: 'no-route', reason: `this laptop has no route to ${address}` };
}

function loopbackReach(vantage: Vantage, address: string): ReachResult {
  const lo = vantage.interfaces.find((port) => ownAddresses(port).some(isLoopback));
  return {
    reach: 'on-link',
    interface: lo?.name ?? 'loopback',
    sourceAddress: address,
    own: false,
    loopback: true,
  };
}

/** Every port has the network fe80::/64, and no route says on which of them an address lies (RFC 4007 §6). */
function linkLocalReach(vantage: Vantage, address: string, near: readonly string[]): ReachResult {
  const none = { reach: 'no-route', own: false, loopback: false } as const;
  const ports = vantage.interfaces.filter(
    (port) => port.up && port.mac !== '' && isEthernet(port) && ownAddresses(port).some(needsZone),
  );
  const told = ports.filter(({ addresses }) =>
    addresses.some((own) => near.some((cidr) => cidrContains(cidr, hostOf(own)))),
  );
  const [port, ...others] = told.length > 0 ? told : ports;
  if (port === undefined)
    return { ...none, reason: 'no port of this laptop with link has a link-local address of IPv6' };
  if (others.length > 0)
    return {
      ...none,
      cause: 'port-unknown',
      reason: `${address} is good on one cable alone, and this laptop has several ports with link (${list(
        [port, ...others].map(({ name }) => name),
        4,
      )}): take the others' cables out, or switch the others off`,
    };
  const sourceAddress = ownAddresses(port).find(needsZone);
  return {
    reach: 'on-link',
    interface: port.name,
    ...(sourceAddress === undefined ? {} : { sourceAddress }),
    own: false,
    loopback: false,
  };
}

function sourceOf(way: Way, address: string): string | undefined {
  const port = way.port;
  if (port === undefined) return undefined;
  const near = port.addresses.filter((own) => cidrContains(own, way.gateway ?? address));
  const family = port.addresses.filter((own) => familyOf(own) === familyOf(address));
  const [chosen] = [...near, ...family];
  return chosen === undefined ? undefined : parseCidr(chosen)?.address;
}

function ownAddresses(port: VantageInterface): string[] {
  return port.addresses.flatMap((text) => {
    const cidr = parseCidr(text);
    return cidr === undefined ? [] : [cidr.address];
  });
}

/** A tunnel has no MAC: what lies behind it is not on this link, gateway or not. */
function isEthernet(port: VantageInterface | undefined): boolean {
  return port === undefined || (port.mac !== '' && port.mac !== '00:00:00:00:00:00');
}
