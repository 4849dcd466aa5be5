import { sayPort } from '../cabling/port-name.js';
import { formatSpeed } from '../plan/speed.js';
import { count, list, plural } from '../text/sentence.js';
import { rule } from './define.js';

/** One listed portal that the plan does not have, and where it lies. */
export interface UnplannedPortal {
  readonly portal: string;
  readonly network: string | undefined;
  /** The plan keeps that network for these controllers or devices. */
  readonly keptFor: readonly string[];
  /** Endpoint of another device that the plan gives this address to. */
  readonly plannedFor: string | undefined;
}

export const CABLING_RULES = {
  'link-down': rule<{
    endpoint: string;
    port: string;
    /** Words: `down`, `lower layer down`, `switched off`, `no hardware`. */
    state: string;
    /** Who says so: `vault-1 (asked at 192.0.2.11)` or `switch loft-switch-1`. */
    by: string;
    switchedOff: boolean;
  }>({
    severity: 'fix',
    family: 'site',
    column: 'link',
    endsPath: true,
    consequence: false,
    joins: 'none',
    title: 'No link',
    message: ({ endpoint, port, state, by }) =>
      `${endpoint} has no link: ${by} says that ${sayPort(port)} is ${state}.`,
    advice: ({ switchedOff }) =>
      switchedOff
        ? 'The port is switched off by its settings: have it enabled, then look at the cable.'
        : 'Check that the cable is in and latched at both ends, that the transceiver fits the fibre, and for fibre that the two strands are not crossed.',
    explain: {
      means:
        'The agent of the device, or of the switch at the planned port, reports that the port is not up (ifOperStatus down, lowerLayerDown or notPresent; or ifAdminStatus down).',
      matters:
        'Nothing passes a port without link. For Fibre Channel and power there is no address to ask, so this is the only proof there is.',
      seen: 'SNMP, read only: ifAdminStatus and ifOperStatus of IF-MIB (RFC 2863 §6); Fibre Channel ports (ifType 56) alike, as RFC 4044 §5.1.6 says. `dormant`, `testing` and `unknown` make no finding.',
      todo: 'Look at the lamp at both ends. Swap cable and transceiver one at a time. Where the hardware is missing (notPresent), the module is not seated.',
    },
  }),
  'speed-below-plan': rule<{
    endpoint: string;
    plannedMbps: number;
    measuredMbps: number;
    by: string;
  }>({
    severity: 'fix',
    family: 'site',
    column: 'speed',
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Link slower than planned',
    message: ({ endpoint, plannedMbps, measuredMbps, by }) =>
      `${endpoint} came up at ${formatSpeed(measuredMbps)}, planned ${formatSpeed(plannedMbps)} (${by}).`,
    advice: () =>
      'Check transceiver, cable category and any fixed speed setting at both ends; then run the check again.',
    explain: {
      means: 'The link is up, and slower than the plan says.',
      matters:
        'Everything answers and every test of reachability passes, at a fraction of the throughput that was sold.',
      seen: 'ifHighSpeed (RFC 2863; ifSpeed below its limit of 4294967295) at the device’s port and at the switch port where the MAC was found; the lower one counts. Members of an aggregation group are judged one by one.',
      todo: 'A copper link that falls from 10G to 1G usually has a bad pair or a cable of too low a category; a fibre link usually has a slower transceiver on one side.',
    },
  }),
  'mtu-below-plan': rule<{
    endpoint: string;
    planned: number;
    measured: number;
    /** silent = larger packets vanish; router = ICMP told; port = the device's own port setting. */
    told: 'silent' | 'router' | 'port';
    by: string;
  }>({
    severity: 'fix',
    family: 'site',
    column: 'mtu',
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'MTU smaller than planned',
    message: ({ endpoint, planned, measured, told, by }) =>
      told === 'port'
        ? `The port of ${endpoint} is set to MTU ${measured}, planned ${planned} (${by}).`
        : `On the way to ${endpoint} packets up to ${measured} octets pass, planned ${planned} (${by}); larger ones ${
            told === 'silent' ? 'vanish in silence' : 'are refused by a router that says so'
          }.`,
    advice: ({ told }) =>
      told === 'silent'
        ? 'Raise the MTU on every switch port of this path, the links between switches included: a switch drops what is too large and tells nobody.'
        : told === 'router'
          ? 'A router stands in the way: give its interface the planned MTU, or plan the path without it.'
          : 'Set the port of the device to the planned MTU, then run the check again.',
    explain: {
      means:
        'Packets of the planned size do not pass between this laptop and the endpoint, or the device’s port is set to less.',
      matters:
        'With jumbo frames set on both ends and one small hop between, small packets pass and large ones stall: logins work, data transfer hangs.',
      seen: 'Echo with don’t-fragment at the planned size (payload is 28 octets less for IPv4, 48 for IPv6), and on failure the largest that passes; and ifMtu of the device’s port. Silence for large packets only is the mark of a switch, an ICMP message (RFC 1191 §4, RFC 4443 §3.2) that of a router.',
      todo: 'Remember that a switch may count the whole frame: 9000 octets of IP need at least 9018, with a VLAN tag 9022.',
    },
  }),
  'wrong-switch-port': rule<{
    endpoint: string;
    /** `loft-switch-1 port 1/7`. */
    planned: string;
    measured: string;
    by: string;
    swappedWith: string | undefined;
  }>({
    severity: 'fix',
    family: 'site',
    column: 'switch-port',
    endsPath: false,
    consequence: false,
    joins: 'exchange',
    title: 'Cable in the wrong switch port',
    message: ({ endpoint, planned, measured, by, swappedWith }) =>
      swappedWith === undefined
        ? `${endpoint} is on ${measured}, planned ${planned} (${by}).`
        : `The cables of ${endpoint} and ${swappedWith} are swapped: ${endpoint} is on ${measured}, planned ${planned} (${by}).`,
    advice: ({ planned, swappedWith }) =>
      swappedWith === undefined
        ? `Move the cable to ${planned}, or correct the plan and the label.`
        : `Exchange the two cables at the switch (or at the device, if the labels are wrong there), then run the check again.`,
    explain: {
      means: 'The switches see this endpoint at another place than the plan says.',
      matters:
        'Everything answers as it should, and what was meant to be independent may now hang on one switch; the next person pulls the wrong cable by the label.',
      seen: 'The forwarding tables of the plan’s switches (BRIDGE-MIB RFC 4188, Q-BRIDGE-MIB RFC 4363) and their LLDP neighbours. Links between switches are told from edge ports by LLDP, by the addresses of the other switch and by the number of devices behind them. A port of an aggregation group counts as the group and the group as its port.',
      todo: 'Compare the label with the port before moving anything. After moving, wait half a minute so that the tables learn again.',
    },
  }),
  'portal-missing': rule<{ endpoint: string; portal: string; listed: readonly string[] }>({
    severity: 'fix',
    family: 'site',
    column: 'portals',
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'iSCSI portal missing from the list',
    message: ({ endpoint, portal, listed }) =>
      `${endpoint} (${portal}) takes connections but stands in no list of portals that the device gives; listed are ${list(listed)}.`,
    advice: () =>
      'Add the portal to the target’s portal group on the device, or take the endpoint out of the plan.',
    explain: {
      means:
        'The device names portals other than the one that was asked, and this planned one is not among them.',
      matters:
        'A host that learns its paths by discovery will never use this one. The path is cabled, addressed and answers, and is not there.',
      seen: 'iSCSI discovery session with SendTargets=All (RFC 7143 §4.3 and appendix C), no login to any target, at every planned portal; the answers of one device are joined. Some targets list only the portal that was asked: from those nothing is concluded.',
      todo: 'Look at the target’s portal groups and at access rules that hide portals from unknown initiators.',
    },
  }),
  'portal-unplanned': rule<{
    device: string;
    portals: readonly UnplannedPortal[];
  }>({
    severity: 'fix',
    family: 'site',
    column: 'portals',
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'iSCSI portal that nobody planned',
    message: ({ device, portals }) => {
      const [first, ...more] = portals;
      if (first === undefined || more.length > 0)
        return `${device} lists ${count(portals.length, 'portal')} that the plan does not have: ${list(
          portals.map((one) => `${one.portal} (${whereItLies(one)})`),
        )}.`;
      return `${device} lists the portal ${first.portal}, which the plan does not have; ${whereItLies(first)}.`;
    },
    advice: () =>
      'Take the portal out of the target’s portal group, or add it to the plan with its cable, switch port and group.',
    explain: {
      means:
        'The list of portals that the device gives to hosts has an address (or a port number) that the plan has not.',
      matters:
        'Hosts will try it. If it cannot be reached they wait for it at every start; if it can, traffic takes a path that nobody counted, perhaps on the network that was kept for the other one.',
      seen: 'TargetAddress records of an iSCSI discovery session (RFC 7143 §13.8, appendix C), all answers of the device joined.',
      todo: 'Often a management port or a port still at its factory address was bound to the target along with the planned ones.',
    },
  }),
  'portal-link-local': rule<{ device: string; portals: readonly string[] }>({
    severity: 'note',
    family: 'site',
    column: 'portals',
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'iSCSI portal at a link-local address',
    message: ({ device, portals }) =>
      `${device} lists ${count(portals.length, 'portal')} at ${plural(portals.length, 'a link-local address', 'link-local addresses')}: ${list(portals)}.`,
    advice: () =>
      'Take them out of the portal group of the target if hosts are slow to start: they try every portal that is listed.',
    explain: {
      means:
        'Among the portals that the device lists are addresses that are good on one link only (169.254.0.0/16, RFC 3927; fe80::/10, RFC 4291).',
      matters: 'A host cannot use them, and may wait for each of them at every start.',
      seen: 'TargetAddress records of an iSCSI discovery session (RFC 7143 appendix C), all answers of the device joined.',
      todo: 'Usually a port without an address of its own was bound to the target. Nothing has to be done where hosts do not mind.',
    },
  }),
} as const;

function whereItLies({ network, keptFor, plannedFor }: UnplannedPortal): string {
  if (plannedFor !== undefined) return `the plan gives that address to ${plannedFor}`;
  if (network === undefined) return 'it lies in no network of the plan';
  return keptFor.length > 0
    ? `it lies in network ${network}, which the plan keeps for ${list(keptFor)}`
    : `it lies in network ${network}`;
}
