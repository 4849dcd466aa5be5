import { type Finding, finding } from '../findings/index.js';
import { blockOf, cidrContains, familyOf, specialInBlock } from '../plan/address.js';
import { fewPairs } from './few-pairs.js';
import { type AddressedNetwork, groupBy, type PlanView, rowsOf } from './plan-view.js';

/** What is wrong with the networks themselves, whoever is planned in them. */
export function networkFindings(view: PlanView): Finding[] {
  return [
    ...overlaps(view.networks),
    ...view.networks.flatMap(gatewayPlace),
    ...view.networks.flatMap((network) => gatewayAbsent(view, network)),
    ...vlanDuplicates(view.networks),
  ];
}

/** Two that were only guessed from prefixes in rows are a matter of masks, not of networks: see mask-mismatch. */
function overlaps(networks: readonly AddressedNetwork[]): Finding[] {
  const blocks = networks
    .map((network) => ({ network, block: blockOf(network.cidr) }))
    .sort((a, b) => a.block.family - b.block.family || compare(a.block.first, b.block.first));
  const findings: Finding[] = [];
  const isTold = fewPairs<AddressedNetwork>();
  blocks.forEach(({ network: first, block }, index) => {
    for (let at = index + 1; at < blocks.length; at += 1) {
      const later = blocks[at];
      if (later === undefined) break;
      const { network: second, block: other } = later;
      if (other.family !== block.family || other.first > block.last) break;
      if (first.inferred || second.inferred || !isTold(first, second)) continue;
      findings.push(
        finding(
          'networks-overlap',
          first.name,
          { first, second, same: first.cidr === second.cidr },
          { evidence: describe([first, second], (network) => network.cidr) },
        ),
      );
    }
  });
  return findings;
}

function gatewayPlace(network: AddressedNetwork): Finding[] {
  const { name, cidr, gateway } = network;
  if (gateway === undefined) return [];
  // Routers of IPv6 announce themselves with their link-local address (RFC 4861 §4.2).
  if (familyOf(cidr) === 6 && cidrContains('fe80::/10', gateway)) return [];
  const kind = cidrContains(cidr, gateway) ? specialInBlock(cidr, gateway) : 'outside';
  if (kind === undefined) return [];
  return [
    finding(
      'gateway-outside-network',
      name,
      { network: name, cidr, gateway, kind },
      { evidence: describe([network], () => `${cidr}, gateway ${gateway}`) },
    ),
  ];
}

function gatewayAbsent(view: PlanView, network: AddressedNetwork): Finding[] {
  if (!network.routed || network.gateway !== undefined) return [];
  const endpoints = view.addressed.filter((endpoint) => view.networkOf(endpoint) === network);
  return [
    finding(
      'no-gateway-in-routed-network',
      network.name,
      { network: network.name, cidr: network.cidr, endpoints: endpoints.length },
      {
        evidence: describe([network], () => 'routed, no gateway'),
        about: endpoints.map((endpoint) => endpoint.id),
      },
    ),
  ];
}

function vlanDuplicates(networks: readonly AddressedNetwork[]): Finding[] {
  const groups = groupBy(networks, (network) =>
    network.vlan === undefined ? undefined : `${familyOf(network.cidr)} ${network.vlan}`,
  );
  return [...groups.values()].flatMap((sharing) => {
    const [first] = sharing;
    if (sharing.length < 2 || first?.vlan === undefined) return [];
    return [
      finding(
        'vlan-duplicate',
        first.name,
        { vlan: first.vlan, networks: sharing.map((network) => network.name) },
        { evidence: describe(sharing, (network) => `VLAN ${network.vlan}`) },
      ),
    ];
  });
}

function describe(
  networks: readonly AddressedNetwork[],
  value: (network: AddressedNetwork) => string,
): string[] {
  return rowsOf(networks.map((network) => ({ name: network.name, value: value(network), at: network.at })));
}

function compare(a: bigint, b: bigint): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
