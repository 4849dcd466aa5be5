/** Plan findings about devices: how they come up, where they stand, what they are plugged into. */
import { count, list } from '../text/sentence.js';
import { rule } from './define.js';

/** Longest order of work that one sentence spells out. */
const ORDER_LIMIT = 12;

function inTurn(devices: readonly string[]): string {
  const rest = devices.length - ORDER_LIMIT;
  const spelled = devices.slice(0, ORDER_LIMIT).join(', then ');
  return rest > 0 ? `${spelled}, then the ${count(rest, 'other')} in the order of the list` : spelled;
}

export const DEVICE_RULES = {
  'default-address-shared': rule<{
    readonly address: string;
    /** Devices or controllers that come up with it, in the order to power them. */
    readonly owners: readonly string[];
    readonly network?: string | undefined;
  }>({
    severity: 'note',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Several devices with one default address',
    message: ({ address, owners, network }) =>
      `${count(owners.length, 'device')} come up on the default address ${address}${
        network === undefined ? '' : ` in ${network}`
      }: ${list(owners)}.`,
    advice: ({ address, owners }) =>
      `Connect and re-address one at a time, in this order: ${inTurn(owners)}. Before each next one, see that nothing answers on ${address} any more.`,
    explain: {
      means:
        'Two or more devices leave the factory with the same address and will be on the same network. That is ordinary for equipment of one kind; the plan cannot change it, the order of work can.',
      matters:
        'Powered together, they answer in turn on one address. You log in to one, set the address, and have changed the other.',
      seen: 'The default addresses of devices and rows are compared; devices whose management ports are in different networks do not meet and are not reported.',
      todo: 'Connect one, re-address it, run `matchmark check --stage power-on` to see that the default is silent again, then connect the next.',
    },
  }),

  'default-address-in-network': rule<{
    readonly address: string;
    readonly owners: readonly string[];
    readonly network?: string | undefined;
    /** Endpoints of other devices that are planned on it. */
    readonly holders: readonly string[];
    readonly kind: 'planned' | 'gateway' | 'free';
  }>({
    severity: 'note',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Default address inside a planned network',
    message: ({ address, owners, network, holders, kind }) =>
      kind === 'planned'
        ? `${list(owners)} will come up on ${address}, which is planned for ${list(holders)}.`
        : kind === 'gateway'
          ? `${list(owners)} will come up on ${address}, which is the gateway of ${network ?? 'a network of the plan'}.`
          : `The default address ${address} of ${list(owners)} lies in ${network ?? 'a network of the plan'}.`,
    advice: ({ address, owners, holders, kind }) =>
      kind === 'planned'
        ? `Plan another address for ${list(holders)}, or re-address ${list(owners)} away from the site's network before ${list(holders)} ${holders.length === 1 ? 'is' : 'are'} powered.`
        : kind === 'gateway'
          ? `Do not connect ${list(owners)} to that network before the address is changed; use a cable straight to the laptop.`
          : `Keep ${address} free at the site; run matchmark survey before the power goes on to see that nobody has it.`,
    explain: {
      means:
        'The address a device has when it leaves the factory is an address of a network in the plan. That is a note: it can even be handy. Where it is the planned address of another device, or the gateway, it is a `stop`.',
      matters:
        "At power-on the device answers there. If somebody else already has that address, both become unreliable; on the gateway's address, the whole network does.",
      seen: 'Default addresses are compared with every network, planned address and gateway.',
      todo: 'See before power-on that the address is silent. After re-addressing, see that it is silent again: that is the proof that the device took its new address.',
    },
  }),

  'rack-units-overlap': rule<{
    readonly rack: string;
    readonly devices: readonly [string, string];
    readonly units: string;
  }>({
    severity: 'fix',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Two devices in one place of the rack',
    message: ({ rack, devices, units }) =>
      `${devices[0]} and ${devices[1]} both take ${units} of rack ${rack}.`,
    advice: () => 'Correct the units of one of them before the rails are mounted.',
    explain: {
      means: 'Two devices of the plan take the same rack units.',
      matters:
        'Rails are mounted first, and moving a heavy device afterwards takes two people and an outage.',
      seen: 'The `rack` and `units` of the devices are compared; units count from 1 at the bottom.',
      todo: 'Correct the plan. Two half-depth or half-width devices that really share units may be written without `units`, with a word in the note.',
    },
  }),

  'feeds-not-redundant': rule<{
    readonly device: string;
    readonly feeds: readonly string[];
    readonly controllers: number;
  }>({
    severity: 'fix',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Power from one feed only',
    message: ({ device, feeds, controllers }) =>
      feeds.length === 1
        ? `${device} is planned on feed ${feeds[0]} alone${
            controllers > 1 ? `, though it has ${controllers} controllers` : ''
          }.`
        : `${feeds.length === 2 ? 'Both' : `All ${feeds.length}`} feeds of ${device} are the same: ${feeds[0]}.`,
    advice: ({ feeds }) =>
      feeds.length === 1
        ? 'If the device has a second power supply, plan it on another feed.'
        : 'Plan each power supply on a feed of its own.',
    explain: {
      means:
        'The device has one feed, or the same feed for all its power supplies. A single feed on a device without two controllers is a note: many small switches have one supply only.',
      matters: 'One breaker, or one person in the wrong cabinet, takes the device and everything behind it.',
      seen: 'The `feeds` of the device.',
      todo: 'Correct the plan, and at the site follow each power lead with the hand: feeds are swapped more often than data cables.',
    },
  }),

  'switch-port-duplicate': rule<{
    readonly switch: string;
    readonly port: string;
    readonly endpoints: readonly string[];
  }>({
    severity: 'fix',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'One switch port planned twice',
    message: (facts) =>
      `Port ${facts.port} of ${facts.switch} is planned for ${count(facts.endpoints.length, 'port')}: ${list(facts.endpoints)}.`,
    advice: () => 'Give each cable a switch port of its own.',
    explain: {
      means:
        'Two ports of the plan end on the same port of the same switch. Virtual addresses and several addresses of one port are not counted.',
      matters:
        'One of the two cables will be plugged in elsewhere, and the drawing will be wrong from the first day.',
      seen: 'The columns `switch` and `switch port` are compared without regard to case.',
      todo: 'Correct the row, then label both ends of the cable from the corrected list.',
    },
  }),

  'literal-secret': rule<{ readonly credential: string; readonly keys: readonly string[] }>({
    severity: 'note',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Secret written into the plan',
    message: ({ credential, keys }) =>
      `The credential ${credential} has its ${list(keys)} written in the plan itself.`,
    advice: () => 'Write env:NAME or file:PATH instead, so that the plan can be handed over.',
    explain: {
      means: 'A community or key of an SNMP credential stands in the plan file as plain text.',
      matters:
        'The plan goes by mail, to the customer and onto memory sticks. Whoever has it then has the key. Results, reports and logs never contain it.',
      seen: 'The value is neither `env:NAME` nor `file:PATH`. The value itself is not looked at.',
      todo: 'Put the secret into an environment variable or a file of its own, and change it if the plan has already been sent around.',
    },
  }),

  'feeds-unequal': rule<{
    devices: readonly { readonly name: string; readonly feeds: readonly string[] }[];
    /** shared: each on the same single feed. unequal: one has more feeds than the other. spelling: one feed under two spellings. */
    how: 'shared' | 'unequal' | 'spelling';
  }>({
    severity: 'fix',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Devices that stand in for each other are not fed alike',
    message: ({ devices, how }) => {
      const each = list(
        devices.map(({ name, feeds }) => `${name} on ${list(feeds)}`),
        6,
      );
      return how === 'spelling'
        ? `One feed seems to be written in two ways: ${each}.`
        : how === 'shared'
          ? `Both hang on the same single feed: ${each}.`
          : `They have unequal numbers of feeds: ${each}.`;
    },
    advice: ({ how }) =>
      how === 'spelling'
        ? 'Write the name of a feed in one way throughout the plan.'
        : 'Give each of them both feeds, or put them on different feeds, and correct the plan. Power work is for licensed people.',
    explain: {
      means:
        'Two switches that carry the paths of one group are planned on power feeds that do not match: the same single one, or one switch has a spare feed and the other has none.',
      matters: 'When that feed fails, both paths go at the same moment, whatever the network cables promise.',
      seen: 'From the feeds that the plan gives to the switches of a group, and from names of feeds that differ in letter case only.',
      todo: 'Agree with the site which feed serves which device, write it into the plan, and check the cords when the devices are racked.',
    },
  }),

  'controllers-without-group': rule<{ device: string; controllers: readonly string[] }>({
    severity: 'note',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Two controllers and no group',
    message: ({ device, controllers }) =>
      `${device} has ${count(controllers.length, 'controller')} (${list([...controllers])}), and the plan writes no group for it: what must survive a failure is not said.`,
    advice: ({ device }) =>
      `Give the ports of ${device} that lead to the same thing one name in the column group, and write under groups how many of them are needed.`,
    explain: {
      means: 'The device has two controllers or more, and none of its ports carries the name of a group.',
      matters:
        'Without a group nobody checks whether one failure would end the access. Only ports of the same name on both controllers are taken for a pair by themselves.',
      seen: 'From the plan alone: controllers of the device against the groups that somebody wrote.',
      todo: 'Write a group for the management ports and one for the data ports, with the number of paths that have to work.',
    },
  }),
} as const;
