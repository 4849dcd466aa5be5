/** Who holds an address: two devices, the wrong device, a router that answers for everything, somebody nobody planned. */
import { count, list } from '../../text/sentence.js';
import { rule } from '../define.js';

export interface DuplicateFacts {
  readonly address: string;
  /** Planned owner, where there is one. */
  readonly endpoint?: string | undefined;
  readonly macs: readonly string[];
  /** proven: two answers to a question. likely: seen one after the other, or the device changed between two connections. */
  readonly sure: 'proven' | 'likely';
  /** Which planned endpoint each MAC belongs to, where the plan says: "00:... is vault-1/B/mgmt". */
  readonly owners: readonly string[];
  readonly why?: string | undefined;
}

export interface WrongDeviceFacts {
  readonly address: string;
  readonly endpoint: string;
  /** What does not fit: "sysName is "vault-1-b", planned "vault-1-a"". Never empty. */
  readonly mismatches: readonly string[];
  /** The planned endpoint or controller it must be instead. */
  readonly isInstead?: string | undefined;
  /** The other endpoint, where the two answer at each other's address. */
  readonly swappedWith?: string | undefined;
}

export interface StrangerFacts {
  readonly address: string;
  readonly mac?: string | undefined;
  readonly maker?: string | undefined;
  readonly network?: string | undefined;
  /** Planned endpoint whose MAC this is. */
  readonly looksLike?: string | undefined;
}

export const CLAIM_RULES = {
  'duplicate-address': rule<DuplicateFacts>({
    severity: 'stop',
    family: 'site',
    column: 'address',
    endsPath: true,
    consequence: false,
    joins: 'none',
    title: 'Two devices on one address',
    message: ({ address, endpoint, macs, sure, owners, why }) =>
      `${address}${endpoint === undefined ? '' : ` (${endpoint})`} is ${
        macs.length > 1
          ? `claimed by ${macs.length} devices: ${list(macs)}`
          : 'most likely held by more than one device'
      }${owners.length > 0 ? ` (${list(owners)})` : ''}; this is ${
        sure === 'proven' ? 'proven' : 'likely, not proven'
      }${why === undefined ? '' : `: ${why}`}.`,
    advice: ({ address, macs, sure }) =>
      `${
        macs.length > 1
          ? `Find the device with MAC ${list(macs, 4, 'or')} that should not have ${address} (the switch's forwarding table shows its port) and unplug its network cable`
          : `Unplug the planned device and ask ${address} once more; whatever still answers is the other one`
      }, give it another address, then check again.${
        sure === 'likely' ? ' A capture program (matchmark kit shows how) would settle it.' : ''
      }`,
    explain: {
      means:
        'More than one network card answers the question "who has this address". Both devices believe that the address is theirs.',
      matters:
        'Each device on the network reaches the one or the other, whichever answered last, and this changes by itself. Pings and log-ins seem to work and then land on the wrong device; two arrays that share a data address can lose writes.',
      seen: 'Two different sender MACs in ARP answers for one address (capture or arping: proven), or a neighbour entry, certificate, SSH line, Redfish UUID or sysName that was not the same twice (likely). Virtual addresses, VRRP and a planned pair that moves its address are left out.',
      todo: 'Take one of the two off the network, give it its own address, and run the check again before anything else: nothing measured at this address can be trusted until then.',
    },
  }),

  'wrong-device': rule<WrongDeviceFacts>({
    severity: 'stop',
    family: 'site',
    column: 'box',
    endsPath: true,
    consequence: false,
    joins: 'exchange',
    title: 'The wrong device answers',
    message: ({ address, endpoint, mismatches, isInstead, swappedWith }) =>
      `${address} is planned for ${endpoint}, but ${
        isInstead === undefined ? 'another device answers there' : `${isInstead} answers there`
      }: ${list(mismatches, 4)}.${
        swappedWith === undefined ? '' : ` ${endpoint} and ${swappedWith} are swapped.`
      }`,
    advice: ({ address, endpoint, isInstead, swappedWith }) =>
      swappedWith !== undefined
        ? `${endpoint} and ${swappedWith} are swapped with each other: exchange their two cables if the labels show them crossed, otherwise exchange their addresses; one exchange clears both findings.`
        : isInstead !== undefined
          ? `Look whether the cables of ${endpoint} and ${isInstead} are crossed, then which of them was given ${address}; put it right before configuring anything at this address.`
          : `Find out which device has ${address} now (its MAC and what it says of itself stand in the evidence). If it is the planned one, correct the plan; if not, take it off this address first.`,
    explain: {
      means:
        'Something answers at the planned address, but what it says of itself, or its MAC, is not what the plan says for that endpoint.',
      matters:
        'Whoever configures, updates or powers off "controller A" by this address does it to another device. Crossed controllers also defeat redundancy: the path that is believed to be A is B.',
      seen: 'The identity patterns of the plan (SNMP system group and serial numbers, web title and server, certificate, SSH line, Redfish root) are compared with what answered, and the answering MAC with the planned MAC, the MACs of all other endpoints and the MAC prefixes of the device. With --since, also with who held the address before power-on.',
      todo: 'Read the label on the device, follow the cable, and correct cable, address or plan. Do not go on configuring by this address before.',
    },
  }),

  'proxy-arp': rule<{
    mac: string;
    network: string;
    asked: string;
    count: number;
    gateway?: string | undefined;
  }>({
    severity: 'note',
    family: 'site',
    column: 'address',
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'A router answers for every address',
    message: ({ mac, network, asked, count: claimed, gateway }) =>
      `On ${network}, ${mac}${gateway === undefined ? '' : ` (the gateway ${gateway})`} claims ${count(claimed, 'planned address', 'planned addresses')} and also ${asked}, which nobody planned: it answers ARP for everything.`,
    advice: ({ network }) =>
      `Have proxy ARP switched off on that router for ${network}, and trust no claim on this network before that: here only an answering service proves that a device is there.`,
    explain: {
      means: 'One MAC answers ARP questions for addresses that are not its own, also for unused ones.',
      matters:
        'Every address looks taken and present, so "somebody claims it" proves nothing here, and a duplicate can hide behind it. Devices that test whether an address is free before they take it may refuse to start.',
      seen: 'One MAC claimed the addresses of three planned devices or more, and then also claimed an address of that network that the plan does not have.',
      todo: 'Ask whoever runs the router whether proxy ARP is meant to be on. Endpoints that only this MAC claims are judged by their services alone, and addresses that only it claims are not reported as strangers.',
    },
  }),

  stranger: rule<StrangerFacts>({
    severity: 'note',
    family: 'site',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'An address nobody planned answers',
    message: ({ address, mac, maker, network, looksLike }) =>
      `${address}${network === undefined ? '' : ` on ${network}`} answers${
        mac === undefined ? '' : ` (MAC ${mac}${maker === undefined ? '' : `, ${maker}`})`
      } and stands nowhere in the plan.${looksLike === undefined ? '' : ` Its MAC is the planned one of ${looksLike}.`}`,
    advice: ({ address, looksLike, network }) =>
      looksLike === undefined
        ? `Ask the site who owns ${address}. If it belongs there, add it to the plan or to the reserved addresses${network === undefined ? '' : ` of ${network}`}; if it is one of yours, it has the wrong address.`
        : `Give ${looksLike} its planned address: it now sits at ${address}.`,
    explain: {
      means:
        'A device answers at an address of a planned network, and neither the endpoints nor the defaults of the plan have it.',
      matters:
        'It may be a planned device with a mistyped address, a forgotten device, or simply the rest of the site. The plan cannot tell, and the person handing over should be able to.',
      seen: 'The address answered while the networks were swept (survey --networks). The gateways of the plan and the laptop itself are left out.',
      todo: 'Find its owner: name it in the plan, or take it off the network.',
    },
  }),

  'own-address-planned': rule<{ address: string; endpoint: string; vantage: string }>({
    severity: 'stop',
    family: 'site',
    column: 'address',
    endsPath: true,
    consequence: false,
    joins: 'none',
    title: 'The laptop sits on a planned address',
    message: ({ address, endpoint, vantage }) =>
      `${vantage} itself has the address ${address}, which is planned for ${endpoint}.`,
    advice: ({ address, endpoint }) =>
      `Give this laptop another address (a free one that the plan does not have), then check again: as long as it holds ${address}, ${endpoint} cannot be seen and will clash with it.`,
    explain: {
      means: 'The laptop that runs the check has one of the addresses that the plan gives to a device.',
      matters:
        'The device that comes up on this address clashes with the laptop, and every answer measured here comes from the laptop.',
      seen: "The laptop's own interface addresses are compared with the plan.",
      todo: 'Change the address of the laptop and run the check again.',
    },
  }),

  'address-taken': rule<{
    address: string;
    endpoint: string;
    mac?: string | undefined;
    maker?: string | undefined;
    says: readonly string[];
  }>({
    severity: 'stop',
    family: 'site',
    column: 'address',
    endsPath: true,
    consequence: false,
    joins: 'none',
    title: 'A planned address is already in use',
    message: ({ address, endpoint, mac, maker, says }) =>
      `${address} is planned for ${endpoint}, but before that device has it, ${
        mac === undefined ? 'something' : `${mac}${maker === undefined ? '' : ` (${maker})`}`
      } already answers there${says.length === 0 ? '' : `; it says ${list(says, 3)}`}.`,
    advice: ({ address, endpoint }) =>
      `Do not set ${endpoint} to ${address} yet. Find the device that holds it (its MAC in the site's switch tables leads to the port), have it moved, or agree another address and change the plan.`,
    explain: {
      means: 'Before the planned device took the address, another device was already answering on it.',
      matters:
        'As soon as the device is set to its planned address, two devices share it: neither the new device nor the old one works reliably any more.',
      seen: 'In the survey before power-on, or at the power-on stage, the planned address answered, and nothing shows that the device is the planned device.',
      todo: 'Clear it with the site before the device is given this address.',
    },
  }),

  'already-readdressed': rule<{ address: string; endpoint: string; because: readonly string[] }>({
    severity: 'note',
    family: 'site',
    column: 'address',
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Already at its planned address',
    message: ({ address, endpoint, because }) =>
      `${endpoint} already answers at its planned address ${address} (${list(because, 3)}).`,
    advice: ({ endpoint }) =>
      `Nothing to do for ${endpoint}; once the other devices have their addresses too, run the check at stage configured.`,
    explain: {
      means:
        'At the power-on stage a device is expected at its default address; this one is already where it will stay.',
      matters: 'It is only a sign that the work is further on than the stage says.',
      seen: 'The planned address answers, and the MAC or the identity is that of the planned device.',
      todo: 'Use --stage configured once the other devices have their addresses too.',
    },
  }),
} as const;
