/** Plan findings about the names that ports have from their maker: MACs and Fibre Channel port names. */
import { count, list } from '../text/sentence.js';
import { rule } from './define.js';

export const PORT_NAME_RULES = {
  'mac-duplicate': rule<{
    readonly mac: string;
    readonly endpoints: readonly string[];
    /** The ports are of one controller: it may be one aggregated link. */
    readonly sameBox: boolean;
  }>({
    severity: 'fix',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'One MAC planned twice',
    message: ({ mac, endpoints, sameBox }) =>
      sameBox
        ? `${mac} stands for ${count(endpoints.length, 'port')} of one device that go to different switch ports: ${list(endpoints)}.`
        : `${mac} stands for ${count(endpoints.length, 'endpoint')} of different devices: ${list(endpoints)}.`,
    advice: ({ sameBox }) =>
      sameBox
        ? 'If the ports form one aggregated link this is right; otherwise read the MAC of each from its label.'
        : 'Read both MACs from the labels again; one row was copied.',
    explain: {
      means:
        'Two rows for different devices carry the same hardware address. Rows of one controller may share a MAC (two addresses on one port, an aggregated link); virtual addresses may too.',
      matters:
        'Matchmark tells by the MAC which device answers. With a wrong MAC in the plan a correct device is reported as the wrong one, or two swapped cables go unseen.',
      seen: 'MACs are compared after all notations are brought to one.',
      todo: 'Read the label or the delivery note again. Leave the column empty rather than guessing: an empty MAC is not checked.',
    },
  }),

  'mac-invalid': rule<{ readonly endpoint: string; readonly mac: string; readonly kind: 'group' | 'zero' }>({
    severity: 'fix',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'Not the MAC of a port',
    message: ({ endpoint, mac, kind }) =>
      kind === 'zero'
        ? `${endpoint} has the MAC ${mac}, which is no address at all.`
        : `${endpoint} has the MAC ${mac}, which is a group address: no port can have it as its own.`,
    advice: () => 'Read the MAC from the label of the port again, or leave the column empty.',
    explain: {
      means:
        'The lowest bit of the first octet marks a group (multicast or broadcast) address (RFC 9542 §2.1.1); a port never sends from one. All zeros is a placeholder.',
      matters:
        'No answer can ever come from this MAC, so the endpoint would be reported as the wrong device.',
      seen: 'Read from the first octet of the MAC in the row.',
      todo: 'Correct the digits. A reading error in the first two digits is the usual cause.',
    },
  }),

  'wwpn-duplicate': rule<{
    readonly portName: string;
    readonly endpoints: readonly string[];
    /** All ports are of one device: it may be the name of the device (its node name). */
    readonly sameDevice: boolean;
  }>({
    severity: 'fix',
    family: 'plan',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'One port name planned twice',
    message: ({ portName, endpoints, sameDevice }) =>
      `${portName} stands for ${count(endpoints.length, 'port')} of ${sameDevice ? 'one device' : 'different devices'}: ${list(endpoints)}.`,
    advice: ({ sameDevice }) =>
      sameDevice
        ? 'Read the port name of each port again: one row was copied, or the name of the whole device (its node name) was written down.'
        : 'Read both port names again; one row was copied.',
    explain: {
      means:
        'Two rows carry the same Fibre Channel port name (WWPN). Each port has a port name of its own; what all ports of one device or adapter share is its node name. Rows that are marked as virtual may share one.',
      matters:
        'Matchmark tells by the port name which port is logged in at which switch. With one name for two ports, one cable in the wrong switch goes unseen. Zoning and masking made from the same list lets one port in and keeps the other out.',
      seen: 'Port names are compared after all notations are brought to one.',
      todo: 'Read the port names from the management page of the device or from the label. Leave the column empty rather than guessing: an empty one is not checked.',
    },
  }),
} as const;
