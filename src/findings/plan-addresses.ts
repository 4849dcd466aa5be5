/** Plan findings about single addresses. */
import { count, list, withRange } from '../text/sentence.js';
import { rule } from './define.js';

const lies = (many: boolean | undefined) => (many === true ? 'lie' : 'lies');

export const ADDRESS_RULES = {
  'address-duplicate': rule<{
    readonly address: string;
    readonly endpoints: readonly string[];
    /** clash: two devices; same-port: one device listed twice; virtual-and-fixed: a moving address is also somebody's own. */
    readonly kind: 'clash' | 'same-port' | 'virtual-and-fixed';
  }>({
    severity: 'stop',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'One address planned twice',
    message: ({ address, endpoints, kind }) =>
      kind === 'same-port'
        ? `${address} stands in ${count(endpoints.length, 'row')} with the same device and MAC: ${list(endpoints)}.`
        : kind === 'virtual-and-fixed'
          ? `${address} is planned as a moving (virtual) address and as the fixed address of a port: ${list(endpoints)}.`
          : `${address} is planned for ${count(endpoints.length, 'endpoint')}: ${list(endpoints)}.`,
    advice: ({ kind }) =>
      kind === 'same-port'
        ? 'If it is one port, keep one row; otherwise correct the address and the MAC of the copied row.'
        : kind === 'virtual-and-fixed'
          ? 'Give the port or the moving address another address. Only the owner of a VRRP address may have it as its own.'
          : 'Give each endpoint an address of its own before any of them is powered. Mark an address that may move between devices with virtual: yes.',
    explain: {
      means:
        'Two rows of the plan give the same address to two different ports. Addresses marked as virtual, and rows with a VRRP MAC, may be listed once per device, because they move. One port that was listed twice, with the same device, controller and MAC, is reported as `fix`.',
      matters:
        'Two devices with one address take turns in the neighbour tables of everything around them: each works for minutes and then vanishes. If the other holder is already in use at the site, powering the new device can take it off the network.',
      seen: 'The rows are compared as normalised addresses (RFC 5952 text for IPv6), so two spellings of one address are found.',
      todo: 'Decide which endpoint keeps the address and give the other a free one; `matchmark review` shows how many each network has left.',
    },
  }),

  'address-outside-network': rule<{
    readonly endpoint: string;
    readonly address: string;
    /** The network the row names; absent where it names none and none fits. */
    readonly network?: { readonly name: string; readonly cidr: string } | undefined;
    /** Another network of the plan that the address does lie in. */
    readonly liesIn?: string | undefined;
  }>({
    severity: 'fix',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Address outside its network',
    message: ({ endpoint, address, network, liesIn }) =>
      network === undefined
        ? `${endpoint} has ${address}, which lies in no network of the plan.`
        : `${endpoint} has ${address}, which is not in ${withRange(network.name, network.cidr)}${
            liesIn === undefined ? '' : `; it lies in ${liesIn}`
          }.`,
    advice: ({ network, liesIn }) =>
      network === undefined
        ? 'Add the network to the plan, or correct the address.'
        : liesIn === undefined
          ? `Correct the address, or name the network it belongs to instead of ${network.name}.`
          : `Correct the address, or name ${liesIn} as the network of this row.`,
    explain: {
      means:
        'The address of the row is not one of the network that the row names. Where the row names no network, no network of the plan contains it.',
      matters:
        'A port that is set up with an address of another network cannot talk to its neighbours, even when it is on the right cable: each side thinks the other is behind a router.',
      seen: 'The address is compared with the CIDR of the network (RFC 4632 §3.1).',
      todo: 'Find out which of the two was meant. One digit swapped is common in the address; a column filled down too far is common in the network.',
    },
  }),

  'address-reserved': rule<{
    /** Addresses concerned; one entry where a whole network is concerned. */
    readonly what: string;
    /** `what` names several. */
    readonly many?: boolean | undefined;
    readonly range: string;
    /** What the range is for, as words that fit after "is for". */
    readonly purpose: string;
    readonly source: string;
    readonly kind: 'plan' | 'special' | 'rehearsal';
  }>({
    severity: 'fix',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Reserved address',
    message: ({ what, many, range, purpose, source, kind }) =>
      kind === 'plan'
        ? `${what} ${lies(many)} in ${range}, which the plan reserves in ${source}.`
        : kind === 'rehearsal'
          ? `${what} ${lies(many)} in ${range}, the laptop itself (${source}): whatever answers there is the laptop, not the site.`
          : `${what} ${lies(many)} in ${range}, which is for ${purpose} (${source}).`,
    advice: ({ kind }) =>
      kind === 'plan'
        ? 'Take a free address outside the reserved range, or shorten the range if the site has handed this address over.'
        : kind === 'rehearsal'
          ? 'Use such a plan for trying things out only; give real equipment addresses of its site.'
          : 'Plan an ordinary unicast address of the site.',
    explain: {
      means:
        'The address may not be used for equipment: the plan keeps it for somebody else (`reserved`), or a standard gives its range another meaning: 0.0.0.0/8, 127.0.0.0/8, 240.0.0.0/4 (RFC 6890), 169.254.0.0/16 (RFC 3927), multicast (RFC 5771) and their IPv6 counterparts.',
      matters:
        'A reserved address is often in use by something the list does not show: the router, the DHCP range, a phone. A special range does not work across the network at all. 169.254.x.x in a list usually means that somebody wrote down what a device chose for itself because nothing gave it an address.',
      seen: 'The address is compared with the `reserved` ranges of the network it lies in and with the table of special ranges. Documentation networks (RFC 5737) and private ones (RFC 1918) are not reported. A network that as a whole lies on the loopback is reported once, as a note.',
      todo: 'Ask the site for an address outside these ranges. If the reservation was made for exactly this equipment, take the address out of the reservation.',
    },
  }),

  'address-is-network-or-broadcast': rule<{
    readonly endpoint: string;
    readonly address: string;
    readonly cidr: string;
    readonly kind: 'network' | 'broadcast' | 'anycast';
  }>({
    severity: 'fix',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Network or broadcast address',
    message: ({ endpoint, address, cidr, kind }) =>
      `${endpoint} has ${address}, which is the ${
        kind === 'anycast' ? 'subnet-router anycast' : kind
      } address of ${cidr}.`,
    advice: ({ kind }) =>
      `Take another address of the network${
        kind === 'anycast'
          ? ': routers answer to this one.'
          : ', or correct the prefix length if the network is larger.'
      }`,
    explain: {
      means:
        'The first address of an IPv4 network names the network and the last one means everybody in it (RFC 1122 §3.2.1.3). On a /31 both are ordinary addresses (RFC 3021). The first address of an IPv6 network belongs to its routers (RFC 4291 §2.6.1).',
      matters:
        "Most devices refuse such an address, so the re-addressing fails at the last step. One that accepts the broadcast address is reached by everybody's broadcasts and answers nobody.",
      seen: 'Computed from the address and the CIDR of its network, or from the prefix in the row where no network is named.',
      todo: 'Pick a free address inside the network. If the address looks ordinary, the prefix is probably wrong: 10.0.0.127 is fine in a /24 and the broadcast address of a /25.',
    },
  }),

  'address-is-gateway': rule<{
    readonly endpoint: string;
    readonly address: string;
    readonly network: string;
    readonly maybeRouter: boolean;
  }>({
    severity: 'stop',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: "Endpoint on the gateway's address",
    message: ({ endpoint, address, network }) =>
      `${endpoint} has ${address}, which is the gateway of ${network}.`,
    advice: ({ maybeRouter }) =>
      maybeRouter
        ? 'If this is the router of the network, nothing is to be done; otherwise give it another address before it is powered.'
        : "Give the endpoint another address before it is powered: it would take the network's way out.",
    explain: {
      means:
        'An endpoint is planned on the address that the plan calls the gateway of the network. Switches and virtual addresses may well be the gateway and are not reported; a device of the role `other` is reported as a note.',
      matters:
        'A device that comes up on the address of the router draws the traffic of everybody in that network to itself. The site loses its connection at that moment, and the cause is not obvious.',
      seen: 'The address of the row equals the `gateway` of a network.',
      todo: 'Correct the row, or the gateway, whichever was mistyped.',
    },
  }),
} as const;
