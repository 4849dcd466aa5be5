import { type Finding, finding } from '../findings/index.js';
import {
  blockOf,
  canonicalCidr,
  cidrContains,
  familyOf,
  fromNumber,
  specialInBlock,
} from '../plan/address.js';
import { type Addressed, citing, hasCidr, isVirtual, type PlanView } from './plan-view.js';
import { within } from './span.js';

/** Where an address stands in its network: outside, on its edge, or on its gateway. */
export function addressPlacement(view: PlanView): Finding[] {
  return view.addressed.flatMap((endpoint) => [
    ...outsideNetwork(view, endpoint),
    ...onTheEdge(view, endpoint),
    ...onTheGateway(view, endpoint),
  ]);
}

function outsideNetwork(view: PlanView, endpoint: Addressed): Finding[] {
  const { id, address } = endpoint;
  const network = view.networkOf(endpoint);
  if (network === undefined) {
    // A list without any network says nothing about where its addresses belong.
    if (view.networks.length === 0 || endpoint.network !== undefined) return [];
    return [finding('address-outside-network', id, { endpoint: id, address }, citing([endpoint]))];
  }
  if (!hasCidr(network) || within(view.span(network), view.point(address))) return [];
  return [
    finding(
      'address-outside-network',
      id,
      {
        endpoint: id,
        address,
        network: { name: network.name, cidr: network.cidr },
        liesIn: view.networkAt(address)?.name,
      },
      citing([endpoint], undefined, [{ name: network.name, value: network.cidr, at: network.at }]),
    ),
  ];
}

function onTheEdge(view: PlanView, endpoint: Addressed): Finding[] {
  const { id, address } = endpoint;
  const network = view.networkOf(endpoint);
  const cidr =
    network?.cidr !== undefined && cidrContains(network.cidr, address)
      ? network.cidr
      : endpoint.prefixBits === undefined
        ? view.networkAt(address)?.cidr
        : `${address}/${endpoint.prefixBits}`;
  if (cidr === undefined) return [];
  const kind = specialInBlock(cidr, address) ?? (isRouterAnycast(cidr, address) ? 'anycast' : undefined);
  if (kind === undefined) return [];
  return [
    finding(
      'address-is-network-or-broadcast',
      id,
      { endpoint: id, address, cidr: canonicalCidr(cidr), kind },
      citing([endpoint]),
    ),
  ];
}

/** The all-zero interface id belongs to the routers of the subnet (RFC 4291 §2.6.1; not on /127, RFC 6164). */
function isRouterAnycast(cidr: string, address: string): boolean {
  const block = blockOf(cidr);
  return block.family === 6 && block.prefixBits <= 126 && fromNumber(block.first, 6) === address;
}

function onTheGateway(view: PlanView, endpoint: Addressed): Finding[] {
  const { id, address } = endpoint;
  const network = view.networks.find(
    (one) =>
      one.gateway === address &&
      familyOf(one.cidr) === familyOf(address) &&
      (endpoint.network === undefined || endpoint.network === one.name || cidrContains(one.cidr, address)),
  );
  if (network === undefined || isVirtual(endpoint)) return [];
  // A switch may route; whether it does is not the plan's to say.
  if (view.endpointsOf(endpoint.device).some((other) => other.role === 'switch')) return [];
  const maybeRouter = endpoint.role === 'other';
  return [
    finding(
      'address-is-gateway',
      id,
      { endpoint: id, address, network: network.name, maybeRouter },
      {
        ...citing([endpoint], undefined, [
          { name: network.name, value: `gateway ${address}`, at: network.at },
        ]),
        ...(maybeRouter ? { severity: 'note' as const } : {}),
      },
    ),
  ];
}
