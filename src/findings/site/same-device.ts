/** Whose answers they are: one device at two endpoints, one that answers on two ports, an address that moved, a name that is not the planned one. */
import { list } from '../../text/sentence.js';
import { rule } from '../define.js';

export const SAME_DEVICE_RULES = {
  'answered-by-partner': rule<{
    endpoint: string;
    address: string;
    sameAs: string;
    by: 'MAC' | 'certificate' | 'Redfish UUID' | 'SNMP engine';
    value: string;
    /** Something planned shows that the device is that of `sameAs`. */
    sure: boolean;
  }>({
    severity: 'fix',
    family: 'site',
    column: 'box',
    endsPath: true,
    consequence: false,
    joins: 'none',
    title: 'One device answers for two',
    message: ({ endpoint, address, sameAs, by, value, sure }) =>
      sure
        ? `${address} is planned for ${endpoint}, but the device of ${sameAs} answers there (one ${by}, ${value}).`
        : `${endpoint} (${address}) and ${sameAs} are answered by one device (one ${by}, ${value}): one of the two is not there.`,
    advice: ({ endpoint, sameAs, sure }) =>
      `Look at ${endpoint}${sure ? '' : ` and ${sameAs}`}: is it powered, is its cable in, has it failed over to its partner? Check again when it runs by itself.`,
    explain: {
      means:
        'The plan has two endpoints, of two controllers or in two ports, and the answers of both come from one device.',
      matters:
        'It looks as if both were there. In fact one controller or one cable is missing, and its partner has taken its address over: the redundancy is used up already.',
      seen: 'On the same link: one MAC answers ARP for both addresses. Behind a router: one certificate, Redfish UUID or SNMP engine at both. Left out: virtual addresses, a router that answers for all, two ports of one controller in one network.',
      todo: 'Find out which of the two is not there. Power, cable, and the state of the controllers on the device itself come first. The group counts the two as one path until then.',
    },
  }),

  'answers-on-both-ports': rule<{
    address: string;
    endpoint: string;
    macs: readonly string[];
    /** `vault-1/A`, or a device without controllers. */
    owner: string;
  }>({
    severity: 'note',
    family: 'site',
    column: 'address',
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Two ports answer for one address',
    message: ({ address, endpoint, macs, owner }) =>
      `${list(macs)} answer ARP for ${address} (${endpoint}); all of them are ports of ${owner}.`,
    advice: ({ owner }) =>
      `Nothing has to be fixed for access. If ${owner} should use one port for one address, set it to answer ARP only for the address of the port that was asked.`,
    explain: {
      means:
        'A device with two ports in one network answers ARP for either address on either port. Linux does so unless it is told otherwise.',
      matters:
        'It is no second device. But traffic for one address may arrive at the other port, so that the load is not spread as planned.',
      seen: 'Several MACs answered for one address, and the plan or the SNMP agent of the device names all of them as ports of one controller.',
      todo: 'Leave it, or ask the maker how ARP is limited to the port that has the address. Put the two ports in separate networks where the plan allows it.',
    },
  }),

  'address-moved': rule<{ address: string; endpoint: string; macs: readonly string[] }>({
    severity: 'note',
    family: 'site',
    column: 'address',
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'An address moved during the check',
    message: ({ address, endpoint, macs }) =>
      `${address} (${endpoint}) was answered by ${macs[0] ?? 'one device'} first and by ${list(macs.slice(1))} after it, never by both at a time.`,
    advice: ({ endpoint }) =>
      `If ${endpoint} was swapped, restarted or failed over meanwhile, check again. If nobody touched it, look why the address moved. Write virtual: yes in the plan if it may move.`,
    explain: {
      means: 'One MAC answered for the address up to some moment, and another one from then on.',
      matters:
        'A change of hands is no clash: two devices would both have gone on answering. But what was measured before it may be of the other device.',
      seen: 'The times of all ARP answers that were heard in one run, or two combined runs that did not overlap in time.',
      todo: 'Check this endpoint again now that it is quiet.',
    },
  }),

  'identity-differs': rule<{
    endpoint: string;
    /** What shows that it is the right device: its MAC, its serial number. */
    because: readonly string[];
    differing: readonly { readonly field: string; readonly planned: string; readonly measured: string }[];
  }>({
    severity: 'fix',
    family: 'site',
    column: 'box',
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'The right device has another name than planned',
    message: ({ endpoint, because, differing }) =>
      `${endpoint} is the planned device (${list(because, 2)}), but its ${list(
        differing.map(({ field, measured, planned }) => `${field} is "${measured}", planned "${planned}"`),
        4,
      )}.`,
    advice: ({ endpoint, differing }) =>
      `Set the ${list(differing.map(({ field }) => field))} of ${endpoint} as planned, or correct the plan.`,
    explain: {
      means:
        'A mark that belongs to the device itself (MAC, serial number, UUID) is the planned one; something that a person typed into it is not.',
      matters:
        'The cables are right. But whoever looks for the device by its name later finds the wrong one, or none.',
      seen: 'The planned MAC, serial number or Redfish UUID agrees; sysName, a title, a certificate name or the SSH line does not.',
      todo: 'Correct the name in the device or in the plan.',
    },
  }),
} as const;
