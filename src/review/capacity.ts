import { type Finding, finding } from '../findings/index.js';
import type { NetworkCapacity } from '../matrix/matrix.js';
import { cidrContains, type Family, familyOf, usableRange } from '../plan/address.js';
import { safeAmount } from '../text/amount.js';
import { type AddressedNetwork, citing, isVirtual, type PlanView, unique } from './plan-view.js';
import { covered, type Span, spanOfRange, within } from './span.js';

/**
 * Addresses of each network (RFC 4632; /31: RFC 3021). `planned` counts different addresses, `reserved` the reserved ranges, what others have and the
 * gateway where no endpoint has it; an address that is both planned and reserved is taken once. Counts past 2^53-1 are cut there.
 */
export function capacityOf(view: PlanView): NetworkCapacity[] {
  const addresses = unique(view.addressed.map((endpoint) => endpoint.address));
  return view.networks.map((network) => {
    const usable = usableSpan(network);
    const planned = addresses.filter((address) => within(usable, view.point(address)));
    const reserved = reservedSpans(network, planned);
    const plannedSpans = planned.map((address) => spanOfRange({ first: address, last: address }));
    return {
      network: network.name,
      cidr: network.cidr,
      usable: safeAmount(sizeOf(usable)),
      planned: planned.length,
      reserved: safeAmount(covered(usable, reserved)),
      left: safeAmount(sizeOf(usable) - covered(usable, [...reserved, ...plannedSpans])),
    };
  });
}

/** Endpoints that want an address of the network, against what it has to give. */
export function notEnoughAddresses(view: PlanView): Finding[] {
  return view.networks.flatMap((network) => {
    const { name, cidr } = network;
    const wanting = view.addressed.filter((endpoint) => view.networkOf(endpoint) === network);
    const fixed = wanting.filter((endpoint) => !isVirtual(endpoint));
    const moving = unique(wanting.filter(isVirtual).map((endpoint) => endpoint.address));
    const needed = fixed.length + moving.length;
    const span = usableSpan(network);
    const reserved = reservedSpans(
      network,
      wanting.map((endpoint) => endpoint.address),
    );
    const usable = sizeOf(span);
    const taken = covered(span, reserved);
    if (BigInt(needed) <= usable - taken) return [];
    return [
      finding(
        'not-enough-addresses',
        name,
        { network: name, cidr, needed, usable: safeAmount(usable), taken: safeAmount(taken) },
        citing(wanting, undefined, [{ name, value: cidr, at: network.at }]),
      ),
    ];
  });
}

function usableSpan(network: AddressedNetwork): Span {
  const family: Family = familyOf(network.cidr);
  return { family, ...usableRange(network.cidr) };
}

function sizeOf(span: Span): bigint {
  return span.last - span.first + 1n;
}

function reservedSpans(network: AddressedNetwork, planned: readonly string[]): Span[] {
  const { gateway, cidr } = network;
  const spans = [...network.reserved, ...network.inUse].map(spanOfRange);
  if (gateway === undefined || !cidrContains(cidr, gateway) || planned.includes(gateway)) return spans;
  return [...spans, spanOfRange({ first: gateway, last: gateway })];
}
