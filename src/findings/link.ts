/** Rules about members of aggregated links, VLANs, Fibre Channel logins and power supplies. */
import { sayPort } from '../cabling/port-name.js';
import { count, list, plural } from '../text/sentence.js';
import { rule } from './define.js';

export const LINK_RULES = {
  'link-member-down': rule<{
    endpoint: string;
    down: readonly { readonly switch: string; readonly port: string }[];
    /** How many members are planned. */
    members: number;
  }>({
    severity: 'fix',
    family: 'site',
    column: 'link',
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Part of an aggregated link has no link',
    message: ({ endpoint, down, members }) =>
      `${endpoint} is an aggregated link of ${members}, and ${down.length} of them ${plural(down.length, 'has', 'have')} no link: ${list(
        down.map(({ switch: name, port }) => `${name} ${sayPort(port)}`),
      )}.`,
    advice: () =>
      'Check that this cable is in and latched at both ends and in the planned switch port; everything works without it until the next failure.',
    explain: {
      means:
        'The plan joins several cables to one link, and the switch says that one of the ports has no link.',
      matters:
        'The endpoint answers over the other cable, so nothing is missed: half the throughput is gone, and so is the spare.',
      seen: 'ifOperStatus of each planned switch port (RFC 2863).',
      todo: 'Look at the lamp of that port at both ends. Swap cable and transceiver one at a time.',
    },
  }),
  'vlan-differs': rule<{
    /** The endpoint, or `network data-a` where all of a network are in the same other VLAN. */
    subject: string;
    endpoints: readonly string[];
    network: string;
    planned: number;
    measured: readonly number[];
    by: string;
  }>({
    severity: 'fix',
    family: 'site',
    column: 'vlan',
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Another VLAN than planned',
    message: ({ subject, endpoints, network, planned, measured, by }) => {
      const vlans = `VLAN ${list(measured.map(String), 4)}`;
      return endpoints.length > 1
        ? `All ${endpoints.length} endpoints of ${subject} that could be measured are in ${vlans}, planned VLAN ${planned} (${by}).`
        : `${subject} is in ${vlans}; the plan has its network ${network} in VLAN ${planned} (${by}).`;
    },
    advice: ({ endpoints, planned }) =>
      endpoints.length > 1
        ? `If the switches are right, correct the VLAN in the plan; else put the ports into VLAN ${planned}.`
        : `Put the switch port into VLAN ${planned}, or move the cable to a port that is in it.`,
    explain: {
      means:
        'A switch has learned the MAC of the endpoint in another VLAN than the plan has for its network, or the endpoint answers on a port of the laptop that is in another VLAN.',
      matters:
        'Two networks that are to be apart may be one, or the endpoint cannot be reached by those it is meant for, though it answers here.',
      seen: 'VLAN of the learned MAC (Q-BRIDGE-MIB, RFC 4363), or the VLAN that the switch at the laptop’s own port tells by LLDP (IEEE 802.1AB). VLAN numbers of several switches are taken to mean the same VLAN.',
      todo: 'Compare with the neighbours of the same network: if all are in the same other VLAN, the number in the plan is the likely mistake.',
    },
  }),
  'wrong-fabric': rule<{
    endpoint: string;
    planned: string;
    plannedFabric: string | undefined;
    measured: string;
    /** As the plan calls it; undefined where only the fabrics’ own names differ. */
    measuredFabric: string | undefined;
    swappedWith: string | undefined;
  }>({
    severity: 'fix',
    family: 'site',
    column: 'switch-port',
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Fibre Channel cable in the other fabric',
    message: ({ endpoint, planned, plannedFabric, measured, measuredFabric, swappedWith }) => {
      const there = measuredFabric === undefined ? 'of another fabric' : `of ${measuredFabric}`;
      const here = plannedFabric === undefined ? '' : ` in ${plannedFabric}`;
      const swap = swappedWith === undefined ? '' : `; its cable and that of ${swappedWith} are swapped`;
      return `${endpoint} is logged in at ${measured} ${there}, planned ${planned}${here}${swap}.`;
    },
    advice: ({ planned, swappedWith }) =>
      swappedWith === undefined
        ? `Move the cable to ${planned}, then run the check again.`
        : 'Exchange the two cables at the switches, then run the check again.',
    explain: {
      means:
        'The port name of the endpoint is logged in at a switch of another fabric than the plan has for it.',
      matters:
        'Fabrics are kept apart so that no fault ends both. A port in the wrong one does not reach its partner, or both paths hang on one fabric.',
      seen: 'Logins of the fabric switches: FIBRE-CHANNEL-FE-MIB (RFC 2837) and FC-MGMT-MIB (RFC 4044), read only. Which switch is of which fabric is taken from the plan, else from the name of the fabric.',
      todo: 'Compare the label at both ends of the fibre before moving anything.',
    },
  }),
  'login-missing': rule<{ endpoint: string; portName: string; switches: readonly string[] }>({
    severity: 'fix',
    family: 'site',
    column: 'light',
    endsPath: true,
    consequence: false,
    joins: 'none',
    title: 'Not logged in to the fabric',
    message: ({ endpoint, portName, switches }) =>
      `${endpoint} (${portName}) is logged in at no port of ${list(switches)}.`,
    advice: () =>
      'Check the cable and its transceivers, that the two strands are not crossed, and that the device has its port switched on.',
    explain: {
      means:
        'Every switch of the fabric told its logins to the end, and the planned port name is not among them.',
      matters: 'A Fibre Channel port that is not logged in carries nothing: this path is not there.',
      seen: 'fcFxLoginTable (RFC 2837) or fcmFLoginTable (RFC 4044) of every switch that the plan has in this fabric.',
      todo: 'Compare the port name in the plan with the label of the port. A host that is switched off is not logged in.',
    },
  }),
  'port-name-twice': rule<{ endpoint: string; portName: string; places: readonly string[] }>({
    severity: 'fix',
    family: 'site',
    column: 'light',
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'One Fibre Channel port name at two ports',
    message: ({ endpoint, portName, places }) =>
      `The port name ${portName} of ${endpoint} is logged in at ${count(places.length, 'port')}: ${list(places)}.`,
    advice: () =>
      'Find out which two ports have this name: a name that was set by hand or copied with a configuration has to be changed on one of them.',
    explain: {
      means:
        'One run read the same port name at two fabric ports. A port name is to be the only one of its kind.',
      matters:
        'Which of the two gets the traffic is left to chance, and access rules by port name let both in.',
      seen: 'Logins of the fabric switches, read in one run. Several names at one port are usual (virtual ports) and no finding.',
      todo: 'Pull one of the two cables and read again: the name that stays tells which port has it.',
    },
  }),
  'power-supply-down': rule<{
    device: string;
    /** Names of the supplies that do not work. */
    down: readonly string[];
    working: number;
    planned: number;
    feeds: readonly string[];
    by: string;
  }>({
    severity: 'fix',
    family: 'site',
    column: 'light',
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'A power supply does not work',
    message: ({ device, down, working, planned, by }) =>
      `${device} runs on ${working} of ${count(planned, 'planned power supply', 'planned power supplies')}: ${list(down)} ${plural(down.length, 'does', 'do')} not work (${by}).`,
    advice: ({ feeds }) =>
      `Check that its cord is in at both ends${feeds.length > 1 ? `, that feeds ${list(feeds)} are both on,` : ''} and that its switch is on; then look at its lamp.`,
    explain: {
      means: 'The agent of the device says that a power supply is there and does not work.',
      matters: 'The device runs, and the loss of its other feed would end it.',
      seen: 'Power supplies of the ENTITY-MIB (RFC 6933) with their state by the ENTITY-STATE-MIB (RFC 4268), read only. A supply beyond what the plan feeds makes no finding.',
      todo: 'Exchange the two cords: if the fault stays with the supply it is broken, if it goes with the cord the feed has no power.',
    },
  }),
  'power-supply-missing': rule<{
    device: string;
    present: number;
    planned: number;
    feeds: readonly string[];
    by: string;
  }>({
    severity: 'fix',
    family: 'site',
    column: 'light',
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Fewer power supplies than planned',
    message: ({ device, present, planned, by }) =>
      `${device} has ${count(present, 'power supply', 'power supplies')}, planned ${planned} (${by}).`,
    advice: () => 'See that every supply is fitted and pushed in until it latches.',
    explain: {
      means: 'The plan gives the device several feeds, and its agent tells fewer supplies than that.',
      matters: 'Two feeds into one supply are one feed: the loss of that supply ends the device.',
      seen: 'Power supplies of the ENTITY-MIB (RFC 6933), read only. Agents that tell no supply at all make no finding.',
      todo: 'Look at the back of the device. Some agents do not list an empty place or a supply without power.',
    },
  }),
} as const;
