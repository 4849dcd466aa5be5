/** Plan findings about networks and what the rows say of them. */
import { count, list, withRange } from '../text/sentence.js';
import { rule } from './define.js';

/** One value and who has it. */
export interface Holders {
  readonly value: string;
  readonly endpoints: readonly string[];
}

const holding = (holders: readonly Holders[]) =>
  list(
    holders.map(({ value, endpoints }) => `${value} for ${list(endpoints, 4)}`),
    4,
  );

export const NETWORK_RULES = {
  'networks-overlap': rule<{
    readonly first: { readonly name: string; readonly cidr: string };
    readonly second: { readonly name: string; readonly cidr: string };
    readonly same: boolean;
  }>({
    severity: 'fix',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Networks overlap',
    message: ({ first, second, same }) =>
      same
        ? `${first.name} and ${second.name} are both ${first.cidr}.`
        : `${withRange(first.name, first.cidr)} and ${withRange(second.name, second.cidr)} share addresses.`,
    advice: ({ same }) =>
      same
        ? 'If it is one network, keep one entry; if it is two, give one of them other addresses.'
        : 'Correct the prefix length or the address of one of them so that no address lies in both.',
    explain: {
      means: 'Two networks of the plan have addresses in common.',
      matters:
        'A device with a port in both may send through the wrong one, and two separate storage paths may turn out to be one. From outside nobody can tell which network an answer came from.',
      seen: 'The first and last address of each CIDR are compared (RFC 4632 §3.1).',
      todo: 'Ask the site for the real prefix lengths. A /24 written where a /25 was meant is the usual cause.',
    },
  }),

  'gateway-outside-network': rule<{
    readonly network: string;
    readonly cidr: string;
    readonly gateway: string;
    readonly kind: 'outside' | 'network' | 'broadcast';
  }>({
    severity: 'fix',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Gateway cannot be reached',
    message: ({ network, cidr, gateway, kind }) =>
      kind === 'outside'
        ? `The gateway ${gateway} of ${network} is not in ${cidr}.`
        : `The gateway ${gateway} of ${network} is the ${kind} address of ${cidr}.`,
    advice: () => 'Correct the gateway or the network before any device is given them.',
    explain: {
      means:
        'The gateway of a network has to be a host address of that network. (For IPv6 a link-local gateway, fe80::…, is right as well.)',
      matters:
        "Devices set up with it answer in their own network and to nobody else: everything looks fine from a laptop in the rack, and fails from the customer's desk.",
      seen: 'The gateway is compared with the CIDR of its network.',
      todo: 'Ask the site which address its router has in this network.',
    },
  }),

  'no-gateway-in-routed-network': rule<{
    readonly network: string;
    readonly cidr: string;
    readonly endpoints: number;
  }>({
    severity: 'note',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Routed network without a gateway',
    message: ({ network, cidr, endpoints }) =>
      `${withRange(network, cidr)} is called routed but has no gateway; ${count(endpoints, 'endpoint')} ${
        endpoints === 1 ? 'is' : 'are'
      } planned there.`,
    advice: () => 'Ask the site for the gateway; the devices need it to answer from other networks.',
    explain: {
      means:
        'The plan says that the network can be reached through a router and does not say which address that router has.',
      matters:
        'Whoever sets the devices up has to ask at the site, usually at the moment when nobody can be reached.',
      seen: '`routed: true` without `gateway`.',
      todo: 'Add `gateway:` to the network, or take `routed: true` away if it is an isolated one.',
    },
  }),

  'vlan-duplicate': rule<{ readonly vlan: number; readonly networks: readonly string[] }>({
    severity: 'fix',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'One VLAN for two networks',
    message: ({ vlan, networks }) => `VLAN ${vlan} is given to ${list(networks)}.`,
    advice: () =>
      'Give each network its own VLAN, or say that they are one network; networks that share a VLAN share its faults.',
    explain: {
      means:
        'Two networks of the same family (IPv4 or IPv6) have the same VLAN id. An IPv4 and an IPv6 network on one VLAN are ordinary and not reported.',
      matters:
        'Two storage paths that are meant to be separate then share one broadcast domain: one loop or one misconfigured port takes both.',
      seen: 'The `vlan` keys of the networks are compared.',
      todo: 'Correct the id. Where two separate sets of switches use the same number for separate networks, number them apart all the same: the first cable between them joins them.',
    },
  }),

  'not-enough-addresses': rule<{
    readonly network: string;
    readonly cidr: string;
    readonly needed: number;
    readonly usable: number;
    readonly taken: number;
    /** How many of `taken` others on the site have, where that is known. */
    readonly inUse?: number | undefined;
    /** Length of the longest prefix around this network that would have enough, where that was worked out. */
    readonly prefixBits?: number | undefined;
  }>({
    severity: 'stop',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Not enough addresses',
    message: ({ network, cidr, needed, usable, taken, inUse = 0 }) =>
      `${withRange(network, cidr)} needs ${count(needed, 'address', 'addresses')} and has ${Math.max(0, usable - taken)}: ${usable} usable, ${taken - inUse} reserved or the gateway's${inUse === 0 ? '' : `, ${inUse} in use`}.`,
    advice: ({ needed, usable, taken, prefixBits }) =>
      `Ask the site for ${count(needed - Math.max(0, usable - taken), 'more address', 'more addresses')} in this network, for a ${prefixBits === undefined ? 'larger network' : `/${prefixBits}, the smallest network that would do`}, or for a part of the reserved range.`,
    explain: {
      means: 'More endpoints are planned in the network than it has addresses to give.',
      matters:
        'This cannot be solved in the rack: a larger network has to be agreed with the site, its router and its firewalls. It is the reason for a second visit.',
      seen: 'Usable addresses (RFC 4632; two on a /31, RFC 3021) less the reserved ranges and the gateway, against the endpoints of the network. Rows with the same virtual address count once.',
      todo: 'Settle it with the site before the visit. `matchmark draft` shows how many each network needs.',
    },
  }),

  'mask-mismatch': rule<{
    readonly what: 'prefix' | 'gateway';
    readonly network: string;
    /** What the network, or most of the rows, say. */
    readonly expected: string;
    /** Who says `expected`: the network entry, or the most rows. */
    readonly by: 'network' | 'neighbours';
    readonly odd: readonly Holders[];
  }>({
    severity: 'fix',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Mask or gateway differs between neighbours',
    message: ({ what, network, expected, by, odd }) =>
      `In ${network} ${by === 'network' ? 'the network says' : 'most rows say'} ${
        what === 'prefix' ? expected : `gateway ${expected}`
      }, but the list has ${holding(odd)}.`,
    advice: ({ what }) =>
      `Find out which ${what === 'prefix' ? 'prefix length' : 'gateway'} is right and make the rows and the network agree.`,
    explain: {
      means:
        'Rows of one network give a different prefix length (or mask, or gateway) than the network itself or than most of their neighbours.',
      matters:
        'With two masks in one network some pairs of devices reach each other and others do not, and which ones depends on the addresses. Ping from the laptop often works, and fails for the host that matters.',
      seen: 'The `/prefix` of the addresses, and columns called mask, netmask, prefix or gateway where the list has them, are compared with the network and among each other.',
      todo: 'Correct the odd ones. If the odd one is right, the network entry is wrong and all others with it.',
    },
  }),

  'mtu-mismatch-in-network': rule<{
    readonly place: string;
    readonly kind: 'network' | 'group';
    readonly problem: 'differ' | 'too-large';
    readonly limit?: number | undefined;
    readonly holders: readonly Holders[];
  }>({
    severity: 'fix',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Different MTU in one place',
    message: ({ place, kind, problem, limit, holders }) =>
      problem === 'too-large'
        ? `${place} passes packets of ${limit} octets, but the list plans MTU ${holding(holders)}.`
        : `In the ${kind} ${place} the list plans different MTUs: ${holding(holders)}.`,
    advice: ({ problem }) =>
      problem === 'too-large'
        ? 'Raise the MTU of the network on every switch, or lower that of the endpoints.'
        : 'Plan one MTU for all ports that talk to each other.',
    explain: {
      means:
        "Endpoints that share a network or a group are planned with different MTUs, or with one larger than the network's.",
      matters:
        'Inside one network nobody tells a sender that its packet was too large: a switch drops it in silence. Small packets pass, so ping and log-in work, and the first large transfer hangs.',
      seen: 'The `mtu` column of the rows is compared within each network and each group, and with the `mtu` of the network.',
      todo: 'Make them equal. A switch often counts the frame and not the packet: a setting of 9000 there may pass only 8982 or fewer octets of IP.',
    },
  }),

  'management-apart': rule<{
    readonly kind: 'device' | 'network';
    /** The device (kind device) or the network that stands apart. */
    readonly subject: string;
    readonly networks: readonly string[];
    readonly devices: readonly string[];
    readonly unrouted: readonly string[];
  }>({
    severity: 'fix',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Management cannot be reached from one place',
    message: ({ kind, subject, networks, devices, unrouted }) =>
      kind === 'device'
        ? `The management ports of ${subject} are in ${list(networks)}, and ${list(unrouted)} ${unrouted.length === 1 ? 'is' : 'are'} not called routed.`
        : `The management of ${list(devices)} is in ${subject} while the rest is in ${list(networks)}, and ${list(unrouted)} ${unrouted.length === 1 ? 'is' : 'are'} not called routed.`,
    advice: ({ unrouted }) =>
      `Put the management ports into one network, or write routed: true and a gateway for ${list(unrouted)} if a router joins them.`,
    explain: {
      means:
        'Management ports lie in different networks, and at least one of these networks is not reachable through a router according to the plan.',
      matters:
        'The computer from which the site manages its equipment then reaches a part of it only. With the two controllers of one array apart, management is lost at the very moment when a controller is.',
      seen: 'The networks of the endpoints with the role `management` (and of switches and power units with an address) are compared. Where the networks were only guessed from an address list, this is a note.',
      todo: 'Ask which computer will manage the equipment and where it stands. Plan to probe from there as well: `--vantage` names the place.',
    },
  }),

  'nothing-to-check': rule<{ readonly device: string; readonly endpoints: readonly string[] }>({
    severity: 'note',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'No service planned',
    message: ({ device, endpoints }) =>
      `${device} has ${count(endpoints.length, 'address', 'addresses')} without a planned service: ${list(endpoints, 6)}.`,
    advice: () =>
      'Name the services that should answer, as in https ssh; an echo alone does not prove which device it is.',
    explain: {
      means: 'The rows have an address and an empty `services` column.',
      matters:
        'Without a service, presence and echo are all that can be shown. An address that answers an echo may be any device at all.',
      seen: 'One note for a device, however many of its rows are concerned.',
      todo: 'Fill the column for what you want to have proven: `iscsi-target` for a data port, `https ssh snmp` for management, `tcp/8443` for a bare port.',
    },
  }),
} as const;
