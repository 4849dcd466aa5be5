import { type Finding, finding } from '../findings/index.js';
import { hostOf, isLoopback } from '../plan/address.js';
import type { AddressRange } from '../plan/model.js';
import { list, plural, withRange } from '../text/sentence.js';
import {
  type Addressed,
  type AddressedNetwork,
  citing,
  groupBy,
  type PlanView,
  rowsOf,
} from './plan-view.js';
import { type Span, spanOfRange, within } from './span.js';
import { specialRangeAround, specialRangeOf } from './special-ranges.js';

/** Addresses kept for others by the plan, and ranges that are not for equipment at all. */
export function addressesReserved(view: PlanView): Finding[] {
  const special = new Set(
    view.networks
      .filter((network) => specialRangeAround(network.cidr) !== undefined)
      .map((network) => network.name),
  );
  const reservations = view.networks.flatMap((network) =>
    [...network.reserved, ...network.inUse].map((range) => ({ network, range, span: spanOfRange(range) })),
  );
  return [
    ...specialNetworks(view),
    ...view.addressed.flatMap((endpoint) => [
      ...reservedByPlan(view, reservations, endpoint),
      // Said once for the network already.
      ...(special.has(view.networkOf(endpoint)?.name ?? '') ? [] : inSpecialRange(view, endpoint)),
    ]),
  ];
}

/** One finding a range, however many networks lie in it. */
function specialNetworks(view: PlanView): Finding[] {
  const byRange = groupBy(view.networks, (network) => specialRangeAround(network.cidr));
  return [...byRange].map(([range, networks]) => {
    const [first] = networks;
    const names = networks.map(({ name, cidr }) => withRange(name, cidr));
    const rehearsal = isLoopback(hostOf(range.cidr));
    return finding(
      'address-reserved',
      first?.name ?? range.cidr,
      {
        what: `The ${plural(networks.length, 'network')} ${list(names)}`,
        many: networks.length > 1,
        range: range.cidr,
        purpose: range.purpose,
        source: range.source,
        kind: rehearsal ? 'rehearsal' : 'special',
      },
      {
        evidence: rowsOf(networks.map(({ name, cidr, at }) => ({ name, value: cidr, at }))),
        about: view.addressed
          .filter((endpoint) => networks.some((network) => network === view.networkOf(endpoint)))
          .map((endpoint) => endpoint.id),
        ...(rehearsal ? { severity: 'note' as const } : {}),
      },
    );
  });
}

function inSpecialRange(view: PlanView, endpoint: Addressed): Finding[] {
  const range = specialRangeOf(view.point(endpoint.address));
  if (range === undefined) return [];
  const what = `${endpoint.id} (${endpoint.address})`;
  return [
    finding(
      'address-reserved',
      endpoint.id,
      { what, range: range.cidr, purpose: range.purpose, source: range.source, kind: 'special' },
      citing([endpoint]),
    ),
  ];
}

interface Reservation {
  readonly network: AddressedNetwork;
  readonly range: AddressRange;
  readonly span: Span;
}

function reservedByPlan(
  view: PlanView,
  reservations: readonly Reservation[],
  endpoint: Addressed,
): Finding[] {
  const point = view.point(endpoint.address);
  // The gateway stands in the reserved range as a rule; a device planned on it is another finding.
  const hit = reservations.find(
    ({ network, span }) => network.gateway !== endpoint.address && within(span, point),
  );
  if (hit === undefined) return [];
  const { network, range } = hit;
  return [
    finding(
      'address-reserved',
      endpoint.id,
      {
        what: `${endpoint.id} (${endpoint.address})`,
        range: rangeText(range),
        purpose: 'others',
        source: network.name,
        kind: 'plan',
      },
      citing([endpoint], undefined, [
        { name: network.name, value: `reserves ${rangeText(range)}`, at: network.at },
      ]),
    ),
  ];
}

function rangeText(range: AddressRange): string {
  return range.first === range.last ? range.first : `${range.first}-${range.last}`;
}
