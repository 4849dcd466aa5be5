/** About the laptop and the way to the networks: a wrong place, its own address held by another, a silent gateway, lost packets. */
import { capital, count, list } from '../../text/sentence.js';
import { rule } from '../define.js';

export const PLACE_RULES = {
  'laptop-misplaced': rule<{
    vantage: string;
    /** Network with the reason in words, made from the place (facts/address.ts). */
    networks: readonly {
      readonly network: string;
      readonly vlan?: number | undefined;
      readonly why: string;
    }[];
  }>({
    severity: 'fix',
    family: 'site',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'covers-network',
    title: 'The laptop may be in the wrong place',
    message: ({ vantage, networks }) => networks.map(({ why }) => `${capital(why, vantage)}.`).join(' '),
    advice: ({ vantage, networks }) =>
      `Plug ${vantage} into a port of ${list(
        networks.map(({ network, vlan }) => (vlan === undefined ? network : `${network} (VLAN ${vlan})`)),
        4,
        'or',
      )}, give it an address with the planned prefix there, and check again. If it is in the right place, nothing on that network is connected yet.`,
    explain: {
      means:
        'Where the laptop is, silence says nothing: its prefix is not the planned one, its switch port is in another VLAN, two of its ports share the network, or nobody of the network answers at all, its gateway included.',
      matters:
        'From the wrong place every device looks missing. Nobody should start to look for faults that are not there.',
      seen: 'The own addresses of the laptop against the networks of the plan, the VLAN that the switch tells by LLDP, and how many planned addresses of a network answered.',
      todo: 'First the place of the laptop, then the check again. Everything of that network stays unproven until then.',
    },
  }),

  'own-address-taken': rule<{ vantage: string; address: string; macs: readonly string[] }>({
    severity: 'stop',
    family: 'site',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Another device has the address of the laptop',
    message: ({ vantage, address, macs }) =>
      `${address} is the address of ${vantage}, and ${list(macs)} ${macs.length === 1 ? 'answers' : 'answer'} for it as well.`,
    advice: ({ vantage }) =>
      `Give ${vantage} another free address, then check again: answers meant for the laptop may have gone to the other device.`,
    explain: {
      means: 'Somebody else on the link claims the address that the laptop was given.',
      matters:
        'Answers go to the one or the other by chance. Devices look missing that are there, and the owner of the address is disturbed.',
      seen: 'The laptop asked by ARP for its own address, and another MAC answered.',
      todo: 'Change the address of the laptop and run the check again.',
    },
  }),

  'gateway-silent': rule<{ network: string; gateway: string; vantage: string }>({
    severity: 'fix',
    family: 'site',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'silence',
    title: 'The gateway does not answer',
    message: ({ network, gateway, vantage }) =>
      `The plan calls ${network} routed, and its gateway ${gateway} does not answer ${vantage}, which is on that network.`,
    advice: ({ network, gateway }) =>
      `Ask whoever runs the routers of the site whether ${gateway} is the gateway of ${network} and is connected; devices there cannot be reached from elsewhere without it.`,
    explain: {
      means:
        'Other devices of the network answer, and the router that should lead out of it does not claim its address.',
      matters:
        'The devices work in their own network, but nobody reaches them from another one: no monitoring, no mail, no support.',
      seen: 'The laptop is on the same link, heard others there, and nobody claimed the address of the gateway.',
      todo: 'Correct the gateway in the plan, or have it connected.',
    },
  }),

  'packets-lost': rule<{ endpoint: string; address: string; sent: number; received: number }>({
    severity: 'fix',
    family: 'site',
    column: 'echo',
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Packets are lost',
    message: ({ endpoint, address, sent, received }) =>
      `${endpoint} (${address}) answered ${received} of ${count(sent, 'echo', 'echoes')}: ${percent(sent - received, sent)} were lost.`,
    advice: ({ endpoint }) =>
      `Look at the cable, the transceiver and the duplex setting of ${endpoint}, and at the error counters of its switch port; change the cable and check again.`,
    explain: {
      means:
        'Some echoes came back and some did not. They were sent again, more of them, and some were lost again.',
      matters: 'A path that loses packets is slow under load, and storage traffic suffers first.',
      seen: 'The share of echoes that were answered, of a longer series sent after the first loss. Other endpoints lost none or less.',
      todo: 'Cable, connector, transceiver, duplex: in this order. A device that answers only some echoes on purpose can be left.',
    },
  }),

  'clock-differs': rule<{
    /** Devices whose clock is off; empty where the laptop's own is. */
    devices: readonly { readonly endpoint: string; readonly aheadSeconds: number }[];
    laptop: boolean;
    vantage: string;
  }>({
    severity: 'note',
    family: 'site',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'A clock is wrong',
    message: ({ devices, laptop, vantage }) =>
      laptop
        ? `All devices agree that the clock of ${vantage} is off by ${minutes(devices[0]?.aheadSeconds ?? 0)}.`
        : `The clock is off by more than five minutes: ${list(
            devices.map(({ endpoint, aheadSeconds }) => `${endpoint} ${minutes(aheadSeconds)}`),
            6,
          )}.`,
    advice: ({ laptop, vantage }) =>
      laptop
        ? `Set the clock of ${vantage}, then check again: the dates of certificates are judged by it.`
        : 'Set the time source (NTP) of these devices before their logs and certificates are used.',
    explain: {
      means: 'The time that a device sends with its web page is not the time of the laptop.',
      matters:
        'Certificates look expired or not yet valid, SNMPv3 refuses, and the logs of two devices cannot be held side by side.',
      seen: 'The Date header of HTTP answers (RFC 9110 section 6.6.1) against the clock of the laptop when they came.',
      todo: 'Where all devices differ by the same amount the laptop is wrong; else set the devices.',
    },
  }),

  'recently-started': rule<{ endpoints: readonly string[]; minutes: number }>({
    severity: 'note',
    family: 'site',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Just started: check again',
    message: ({ endpoints, minutes: up }) =>
      `${list(endpoints, 6)} ${endpoints.length === 1 ? 'has' : 'have'} been up for less than ${up} minutes.`,
    advice: () => 'Wait until all services run, then check again: what is silent now may still be starting.',
    explain: {
      means: 'The device says that it was started a few minutes ago. Some of its services may not run yet.',
      matters: 'Services that start late look missing, and a device that restarts by itself has a fault.',
      seen: 'The SNMP agent tells how long it has been running (sysUpTime, SNMPv2-MIB, RFC 3418).',
      todo: 'Check again in ten minutes. If nobody restarted the device, look why it did: power, a fault, an update.',
    },
  }),

  'device-in-trouble': rule<{ endpoint: string; service: string; detail: string }>({
    severity: 'note',
    family: 'site',
    column: 'service',
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'The device reports an error of its own',
    message: ({ endpoint, service, detail }) => `${service} of ${endpoint} answers with an error: ${detail}.`,
    advice: ({ endpoint }) => `Look at the state of ${endpoint} on its own page; it may still be starting.`,
    explain: {
      means: 'The service speaks its protocol and says that the device cannot do what was asked (HTTP 5xx).',
      matters: 'The network is right; the device itself may not be.',
      seen: 'The status of the web answer.',
      todo: 'Wait until it has started, then check again; else ask the maker.',
    },
  }),

  'switch-silent': rule<{
    switch: string;
    endpoints: readonly string[];
    /** The switch's own management endpoint is silent, too. */
    itself: boolean;
  }>({
    severity: 'fix',
    family: 'site',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'covers-switch',
    title: 'Everything on a switch is silent',
    message: ({ switch: name, endpoints, itself }) =>
      `All ${count(endpoints.length, 'endpoint')} planned on ${name} ${endpoints.length === 1 ? 'is' : 'are'} silent${itself ? `, and so is ${name} itself` : ''}.`,
    advice: ({ switch: name }) =>
      `Look at ${name} first: power, its link to the other switches, the VLAN of its ports. What is silent behind it follows from this.`,
    explain: {
      means: 'No endpoint that the plan connects to this switch answers, while others of the site do.',
      matters: 'It is one fault, not as many as there are endpoints.',
      seen: 'All planned endpoints of the switch that could have been seen from here are missing.',
      todo: 'Fix the switch, then check again; endpoints that are still missing have a fault of their own.',
    },
  }),
} as const;

function percent(part: number, whole: number): string {
  return `${Math.round((part / whole) * 100)} %`;
}

function minutes(seconds: number): string {
  const whole = Math.round(Math.abs(seconds) / 60);
  const words =
    whole >= 2880
      ? `${Math.round(whole / 1440)} days`
      : whole >= 120
        ? `${Math.round(whole / 60)} hours`
        : `${whole} minutes`;
  return `${words} ${seconds < 0 ? 'behind' : 'ahead'}`;
}
