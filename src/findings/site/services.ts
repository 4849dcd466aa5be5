/** Whether an endpoint is there and does what it is for. */
import { serviceAt } from '../../plan/services.js';
import { capital, count, list } from '../../text/sentence.js';
import { rule } from '../define.js';

export interface MissingFacts {
  readonly endpoint: string;
  readonly address: string;
  /** on-link: nobody claims it. asked: everything asked of it stayed silent. default: silent on its default address. */
  readonly how: 'unclaimed' | 'silent' | 'default';
  readonly vantage: string;
  /** Where its planned MAC was seen instead. */
  readonly elsewhere?: string | undefined;
  /** Default address it was found on instead. */
  readonly atDefault?: string | undefined;
}

export interface ServiceFacts {
  readonly endpoint: string;
  readonly address: string;
  readonly service: string;
  readonly port: number;
  readonly protocol: 'tcp' | 'udp';
  readonly detail?: string | undefined;
}

const SNMP_VERB = {
  'no-reply': 'does not answer',
  silent: 'does not answer',
  unreachable: 'cannot be reached',
  refused: 'refuses the question',
  rejected: 'rejects the credential',
} as const;

export const SERVICE_RULES = {
  'endpoint-missing': rule<MissingFacts>({
    severity: 'fix',
    family: 'site',
    column: 'address',
    endsPath: true,
    consequence: false,
    joins: 'silence',
    title: 'A planned endpoint does not answer',
    message: ({ endpoint, address, how, vantage, elsewhere, atDefault }) =>
      `${endpoint} should answer at ${address}${how === 'default' ? ' (its default address)' : ''}; ${
        how === 'silent'
          ? `everything that ${vantage} asked there stayed silent`
          : `${vantage} is on the same link and nobody claims it`
      }.${elsewhere === undefined ? '' : ` Its planned MAC answers at ${elsewhere}.`}${
        atDefault === undefined ? '' : ` Its default address ${atDefault} still answers.`
      }`,
    advice: ({ endpoint, address, how, elsewhere, atDefault }) =>
      elsewhere !== undefined
        ? `Change the address of ${endpoint} from ${elsewhere} to ${address}.`
        : atDefault !== undefined
          ? `Log in at ${atDefault} and give ${endpoint} its planned address ${address}.`
          : how === 'silent'
            ? `Check power, cable and link lamp of ${endpoint}, then its address, mask and gateway; if the link is up, ask whether a firewall on the way drops the questions.`
            : `Check power, cable, link lamp and VLAN of ${endpoint}, then whether it was really given ${address}.`,
    explain: {
      means: 'The place the check looked from could have seen this endpoint, and it did not answer.',
      matters:
        'A management port that is missing cannot be used when it is needed; a data port that is missing is one path less.',
      seen: 'On the same link: nobody answered the ARP (or neighbour discovery) question for the address. Across a router: every question stayed silent, while the plan calls the network routed or another endpoint of it answered.',
      todo: 'Power, cable, lamp, VLAN, address: in this order. An endpoint that could not be tested from here is never called missing, but unproven, with the reason.',
    },
  }),

  'device-answers-nothing': rule<{
    /** A device, or a controller of one. */
    device: string;
    vantage: string;
    /** Addresses at which a planned service was asked for and stayed silent. */
    silent: number;
    /** Addresses at which it is there. */
    there: number;
    /** answered: at some; silent: at none; open: it was not asked everywhere. */
    echo: 'answered' | 'silent' | 'open';
  }>({
    severity: 'fix',
    family: 'site',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'covers-device',
    title: 'No service of a device answers',
    message: ({ device, silent, there, echo }) =>
      `${device} is there at ${count(there, 'address', 'addresses')}${echo === 'answered' ? ' and answers an echo' : ''}, but no planned service answers at ${
        silent === there ? 'any of them' : `any of the ${silent} that were asked for long enough`
      }${echo === 'silent' ? ', nor an echo' : ''}.`,
    advice: ({ device, vantage }) =>
      `Wait until ${device} has started. Then see that its services are switched on, and that a packet filter on it or on the way lets ${vantage} in; then check again.`,
    explain: {
      means:
        'The device holds its addresses on the network, and of all the services that the plan names for it none answers at any of them.',
      matters:
        'It is one fault, not as many as there are addresses. Nobody can manage or use the device until it is found.',
      seen: 'The device, or one of its controllers, was asked for a planned TCP service at three addresses or more (at both, where it has two) until the silence was sure, and nothing but an echo was answered at any of them. A refusal is an answer too: where one comes, each service has a finding of its own. Where the device has so many addresses that the time of one device was up, the others are unproven.',
      todo: 'In this order: wait until the device has started; look whether its services (of management, of storage) are switched on; look whether its packet filter admits the address of the laptop, or only the network of the administrators; look for a packet filter on the way. Then check again: what is still silent has a cause of its own.',
    },
  }),

  'device-answers-no-echo': rule<{ device: string; addresses: number }>({
    severity: 'fix',
    family: 'site',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'covers-device',
    title: 'A device answers no echo',
    message: ({ device, addresses }) =>
      `${device} is there at ${count(addresses, 'address', 'addresses')} and answers no echo at any of them, and the plan names no service to ask.`,
    advice: ({ device }) =>
      `Name the services of ${device} in the plan so that they can be proven, or see whether it drops ICMP or has not finished starting.`,
    explain: {
      means:
        'The device holds its addresses on the network. An echo is all that the plan lets be asked of it, and none was answered.',
      matters:
        'Many devices answer no echo and work: whether this one does is open at each of its addresses, and it is one thing to see to.',
      seen: 'At three addresses of the device, or of one of its controllers, or at both where it has two, somebody answered the ARP (or neighbour discovery) question and no echo.',
      todo: 'Write what the device serves into the plan (services), then check again; or plan the MAC of each port, which shows the right device by itself.',
    },
  }),

  'service-missing': rule<ServiceFacts & { kind: 'silent' | 'speechless' | 'claimed-only' }>({
    severity: 'fix',
    family: 'site',
    column: 'service',
    endsPath: true,
    consequence: false,
    joins: 'service',
    title: 'A planned service is silent',
    message: ({ endpoint, address, service, port, protocol, detail, kind }) =>
      kind === 'speechless'
        ? `${endpoint} accepts a connection on ${protocol} port ${port}, but the service ${service} says nothing there${detail === undefined ? '' : ` (${detail})`}.`
        : `${endpoint} is there (${address}${kind === 'claimed-only' ? ' is claimed on the link' : ''}), but ${serviceAt(service, protocol, port)} does not answer${detail === undefined ? '' : ` (${detail})`}.`,
    advice: ({ endpoint, service, kind }) =>
      kind === 'speechless'
        ? `Look whether ${service} on ${endpoint} is still starting or hangs; restart it, and check again.`
        : kind === 'claimed-only'
          ? `Something holds the address but says nothing: let ${endpoint} finish starting, then check that it is the planned device, and its packet filter and gateway.`
          : `Switch ${service} on at ${endpoint}, or look for a packet filter on the device or on the way that drops it.`,
    explain: {
      means:
        'The device is there, but a service that the plan lists gives no answer: the connection is not accepted, or it is accepted and nothing is said.',
      matters:
        'The address looks alive in a ping while the thing it is for does not work. A path whose service is silent does not count as working.',
      seen: 'A TCP connection to the planned port stayed silent, or was accepted and the protocol of the service did not answer in it. Where many services of one device hang, the rest is asked briefly or not at all, so that no device holds the run up, and is unproven until these are fixed.',
      todo: 'Switch the service on, wait until the device has started, or open the filter; if it is not meant to be there, take it out of the plan.',
    },
  }),

  'service-refused': rule<ServiceFacts>({
    severity: 'fix',
    family: 'site',
    column: 'service',
    endsPath: true,
    consequence: false,
    joins: 'service',
    title: 'A planned service refuses',
    message: ({ endpoint, service, port, protocol, detail }) =>
      `${endpoint} refuses ${serviceAt(service, protocol, port)}${detail === undefined ? '' : ` (${detail})`}: the device is there and nothing listens on that port.`,
    advice: ({ endpoint, service, port }) =>
      `Switch ${service} on at ${endpoint}, or find out on which port it listens and correct ${port} in the plan.`,
    explain: {
      means:
        'The device answered the connection with a refusal: it is alive, and no program listens on that port.',
      matters:
        'The service that the plan promises is not there. Unlike silence, a refusal is an answer of the device itself.',
      seen: 'TCP reset in answer to the connection (RFC 9293 §3.10.7.1), or for UDP the ICMP error that the port is closed (RFC 1122 §3.2.2.1).',
      todo: 'Enable the service on the device, or correct the plan.',
    },
  }),

  'service-other': rule<ServiceFacts>({
    severity: 'fix',
    family: 'site',
    column: 'service',
    endsPath: true,
    consequence: false,
    joins: 'service',
    title: 'Something else speaks on the port',
    message: ({ endpoint, service, port, protocol, detail }) =>
      `${endpoint} accepts on ${protocol} port ${port}, but what speaks there is not ${service}${detail === undefined ? '' : ` (${detail})`}.`,
    advice: ({ endpoint, service, port }) =>
      `See what listens on port ${port} of ${endpoint}: set ${service} to its planned port, or correct the service or the port in the plan.`,
    explain: {
      means:
        'The port accepts connections, but the program behind it does not use the protocol that the plan names.',
      matters:
        'A port that accepts connections would pass for the service where only a connection is tried. Clients of the planned service will fail.',
      seen: 'The first exchange of the planned protocol got an answer that is not of that protocol.',
      todo: 'Correct the port on the device or in the plan.',
    },
  }),

  'no-echo': rule<{ endpoint: string; address: string; macs: readonly string[] }>({
    severity: 'fix',
    family: 'site',
    column: 'echo',
    endsPath: true,
    consequence: false,
    joins: 'service',
    title: 'There, but answers nothing',
    message: ({ endpoint, address, macs }) =>
      `${endpoint}: ${address} is ${macs.length === 0 ? 'in use' : `claimed by ${list(macs)}`}, but does not answer an echo request, and the plan names no other service to ask.`,
    advice: ({ endpoint }) =>
      `Name a service of ${endpoint} in the plan so that it can be proven, or see whether the device drops ICMP or has a wrong mask or gateway.`,
    explain: {
      means: 'A device holds the address but answers nothing that was asked of it.',
      matters:
        'It may be a device that drops ICMP, one with a wrong mask, one still starting, or a wrong one; from here they look the same.',
      seen: 'The ARP question was answered, the ICMP echo requests were not.',
      todo: 'Add a service to the plan, or find out why the device is silent.',
    },
  }),

  'snmp-no-answer': rule<{
    endpoint: string;
    address: string;
    credential?: string | undefined;
    outcome: 'no-reply' | 'refused' | 'unreachable' | 'rejected' | 'silent';
    detail?: string | undefined;
    planned: boolean;
  }>({
    severity: 'fix',
    family: 'site',
    column: 'service',
    endsPath: false,
    consequence: false,
    joins: 'service',
    title: 'SNMP does not answer',
    message: ({ endpoint, address, credential, outcome, detail, planned }) => {
      const named = credential === undefined ? '' : ` (credential ${credential})`;
      const why = detail === undefined ? '' : `: ${detail}`;
      const cost = planned ? '' : '; identity, links and cabling of this device stay unproven';
      return `${endpoint} is there, but SNMP at ${address} ${SNMP_VERB[outcome]}${named}${why}${cost}.`;
    },
    advice: ({ endpoint, credential }) =>
      `Switch the SNMP agent on at ${endpoint}, check ${
        credential === undefined ? 'its credential' : `the credential ${credential} in the plan`
      } against the one on the device, and whether the device limits which addresses may ask.`,
    explain: {
      means:
        'The device is there, and the plan gives an SNMP credential for it, but the agent gave no usable answer.',
      matters:
        'Without SNMP, name, serial number, link speed, and the switch port a cable is in cannot be proven for this device.',
      seen: 'Read-only requests with the named credential stayed silent, were refused, or were rejected. A wrong community looks exactly like a missing agent: silence is all a v1 or v2c agent gives.',
      todo: 'Correct the credential or the agent. Where the plan does not list snmp as a service of the endpoint, this is a note.',
    },
  }),
  'credential-not-given': rule<{ credential: string; why: string; endpoints: readonly string[] }>({
    severity: 'note',
    family: 'site',
    column: undefined,
    endsPath: false,
    consequence: false,
    joins: 'none',
    title: 'A credential was not at hand',
    message: ({ why, endpoints }) => `${capital(why)}. Nothing was read by SNMP from ${list(endpoints)}.`,
    advice: ({ credential }) =>
      `Set the secret of ${credential} as the plan says, then check again: what SNMP would have shown stays unproven.`,
    explain: {
      means:
        'The plan names an SNMP credential, and the secret was not where the plan says: the variable is not set, or the file cannot be read.',
      matters:
        'Name, serial number, link, speed and the switch port of a cable are read by SNMP. Without it a wrong device or a wrong cable may stay hidden.',
      seen: 'The variable or the file was looked for at the start of the run, before anything was asked. No secret is ever written anywhere.',
      todo: 'Set the variable in the shell that starts the run, or correct the path of the file, and run again.',
    },
  }),
} as const;
