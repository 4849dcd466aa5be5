/** Factory-default addresses, at power-on and after re-addressing. */
import { count, list } from '../../text/sentence.js';
import { rule } from '../define.js';

export const DEFAULT_RULES = {
  'default-address-taken': rule<{
    address: string;
    devices: readonly string[];
    mac?: string | undefined;
    maker?: string | undefined;
    says: readonly string[];
  }>({
    severity: 'stop',
    family: 'site',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Somebody else sits on a default address',
    message: ({ address, devices, mac, maker, says }) =>
      `${address}, the default address of ${list(devices)}, is answered by ${
        mac === undefined ? 'a device' : `${mac}${maker === undefined ? '' : ` (${maker})`}`
      }, which is not in the plan${says.length === 0 ? '' : `; it says ${list(says, 3)}`}.`,
    advice: ({ address, devices }) =>
      `Take that device off ${address}, or connect ${list(devices, 8, 'or')} to an isolated switch for its first set-up; do not power on ${devices.length === 1 ? 'the device' : 'the devices'} on this network before.`,
    explain: {
      means:
        'A device that is not in the plan already uses an address that new equipment of the plan takes when it is first powered on.',
      matters:
        'At power-on the new device and the old device clash. Whoever then logs in at the default address may configure the wrong device.',
      seen: 'The default address answered before power-on, or the answering MAC belongs to no device of the plan.',
      todo: 'Clear the address first, or do the first set-up on an isolated link.',
    },
  }),

  'default-address-clash': rule<{
    address: string;
    devices: readonly string[];
    macs: readonly string[];
    sure: 'proven' | 'likely';
    owners: readonly string[];
  }>({
    severity: 'stop',
    family: 'site',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Two devices on one default address',
    message: ({ address, devices, macs, sure, owners }) =>
      `${address}, the default address of ${list(devices)}, is claimed by ${
        macs.length > 1 ? `${macs.length} devices at once: ${list(macs)}` : 'more than one device'
      }${owners.length > 0 ? ` (${list(owners)})` : ''}${sure === 'proven' ? '' : ' (likely, not proven)'}.`,
    advice: ({ address, macs }) =>
      `Unplug the management cables of all but one of ${macs.length > 1 ? `these ${macs.length} devices` : 'the devices that come up on it'}, give that one its planned address, then go on to the next, one at a time; configure nothing at ${address} while two answer.`,
    explain: {
      means:
        'Two or more devices that come up on the same factory-default address are powered and connected together.',
      matters:
        'A log-in at this address lands on either of them, unpredictably. The settings meant for one end up in the other.',
      seen: 'More than one MAC answered for the default address.',
      todo: 'One at a time: leave one connected, re-address it, connect the next.',
    },
  }),

  'default-address-still-answers': rule<{
    address: string;
    devices: readonly string[];
    mac?: string | undefined;
    /** Which planned endpoints or devices it must be, most certain first. */
    suspects: readonly string[];
    /** Why these: "its MAC is the planned one", "its own address is silent", ... */
    because?: string | undefined;
  }>({
    severity: 'fix',
    family: 'site',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'A factory default still answers',
    message: ({ address, devices, mac, suspects, because }) =>
      `${address}, the default address of ${list(devices)}, still answers${mac === undefined ? '' : ` (${mac})`}.${
        suspects.length === 0
          ? ' Nothing tells which device it is.'
          : ` It must be ${list(suspects, 6, 'or')}${because === undefined ? '' : `: ${because}`}.`
      }`,
    advice: ({ address, suspects, mac }) =>
      suspects.length === 0
        ? `Follow ${mac === undefined ? 'the cable' : `MAC ${mac} through the switch`} to the device on ${address} and give it its planned address.`
        : `Log in to ${list(suspects, 6, 'or')} at ${address}, set the planned address, and make sure that ${address} is given up.`,
    explain: {
      means: 'After re-addressing, a device still holds a factory-default address.',
      matters:
        'The next device of that make that is powered on clashes with it, factory passwords often go with factory addresses, and one planned endpoint was never set up.',
      seen: 'The default address is claimed or answers. Which device it must be is told from its MAC, from what it says of itself, or from whose own addresses are missing.',
      todo: 'Re-address that device, or remove the default as a second address.',
    },
  }),

  'default-power-order': rule<{
    address: string;
    network?: string | undefined;
    /** In the order to power on. */
    devices: readonly string[];
    /** One command for each device. */
    commands: readonly string[];
  }>({
    severity: 'note',
    family: 'site',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Power these on one at a time',
    message: ({ address, network, devices }) =>
      `${count(devices.length, 'device')} come up on the same default address ${address}${
        network === undefined ? '' : ` on ${network}`
      }: ${list(devices, 20)}.`,
    advice: ({ commands }) =>
      `Power on (or connect) one, check it, give it its planned address, then go on: ${commands
        .map((command, index) => `${index + 1}. ${command}`)
        .join('  ')}`,
    explain: {
      means: 'Several devices of the plan share one factory-default address on one network.',
      matters: 'Powered on together they clash, and nobody can tell which of them is being configured.',
      seen: 'The plan gives the same default address to more than one device.',
      todo: 'Follow the order: power on one, check it with --only, re-address it, go on to the next.',
    },
  }),
} as const;
