/** One address: what is asked, in which order, and what the answers add up to. The pace is src/visit/pace.ts's. */
import type { PlannedService } from '../plan/model.js';
import type { ResolvedSnmp } from '../probe/types.js';
import type {
  AddressSighting,
  IcmpSighting,
  IdentitySighting,
  NotRun,
  PresenceSighting,
  ServiceProof,
  SnmpSighting,
  TcpSighting,
} from '../sighting/types.js';
import { blankSighting, type Standpoint } from './blank.js';
import { changedFacts, mergeIdentities } from './identity.js';
import type { Pacer } from './pace.js';
import type { Patiences } from './patience.js';
import type { ProbeSet, TcpAnswer } from './probe-set.js';
import type { Question } from './questions.js';

export interface AskContext {
  readonly probes: ProbeSet;
  readonly pacer: Pacer;
  readonly patiences: Patiences;
  readonly signal: AbortSignal;
  /** The credential with its secrets, or why there is none. */
  readonly credential: ResolvedSnmp | { readonly missing: string };
  /** MTU of the interface that the questions leave by. */
  readonly interfaceMtu?: number | undefined;
}

type TcpState = { readonly service: PlannedService; readonly answer: TcpAnswer };

export async function askAddress(
  question: Question,
  standpoint: Standpoint,
  presence: PresenceSighting,
  context: AskContext,
): Promise<AddressSighting> {
  const blank = blankSighting(question, standpoint, presence, 'not asked');
  const tcpServices = question.services.filter((service) => service.protocol === 'tcp');

  const [firstIcmp, firstTcp, snmpAnswer] = await Promise.all([
    paced(question, context, () => askIcmp(question, context, 'firstIcmp')),
    Promise.all(tcpServices.map((service) => askTcp(question, service, context, 'firstTcp'))),
    askSnmp(question, context),
  ]);
  const present =
    presence.outcome === 'claimed' ||
    firstIcmp.outcome === 'replied' ||
    firstTcp.some(({ answer }) => answer.outcome === 'accepted' || answer.outcome === 'refused') ||
    snmpAnswer.sighting.outcome === 'replied';
  if (!present)
    return assemble(blank, firstIcmp, firstTcp, snmpAnswer.sighting, notAccepted(question, firstTcp), {});

  const [icmp, tcp] = await Promise.all([
    firstIcmp.outcome === 'no-reply'
      ? paced(question, context, () => askIcmp(question, context, 'secondIcmp'))
      : firstIcmp,
    Promise.all(
      firstTcp.map((state) =>
        state.answer.outcome === 'no-reply' ? askTcp(question, state.service, context, 'secondTcp') : state,
      ),
    ),
  ]);
  const look = await proveServices(question, tcp, snmpAnswer, context);
  const again =
    presence.outcome === 'claimed' && presence.duplicateCheck !== 'proven' && question.kind !== 'swept'
      ? await lookAgain(question, tcp, snmpAnswer, context, look.proofs)
      : undefined;
  const changed = again === undefined ? [] : changedFacts(look.identity, again.identity);
  const identity = changed.length === 0 ? look.identity : { ...look.identity, changed };
  const sighting = assemble(blank, icmp, tcp, snmpAnswer.sighting, look.proofs, identity);
  return {
    ...sighting,
    iscsi: await askIscsi(question, tcp, context),
    mtu: await askMtu(question, icmp, context),
  };
}

function paced<T>(question: Question, context: AskContext, work: () => Promise<T>): Promise<T> {
  return context.pacer.run(question.device, work);
}

function askIcmp(
  { address }: Question,
  { probes, patiences, signal }: AskContext,
  which: 'firstIcmp' | 'secondIcmp',
): Promise<IcmpSighting> {
  return probes.icmp({ address }, patiences[which], signal);
}

async function askTcp(
  question: Question,
  service: PlannedService,
  context: AskContext,
  which: 'firstTcp' | 'secondTcp',
): Promise<TcpState> {
  const { probes, patiences, signal } = context;
  const target = { address: question.address, port: service.port };
  return {
    service,
    answer: await paced(question, context, () => probes.tcp(target, patiences[which], signal)),
  };
}

interface SnmpState {
  readonly sighting: SnmpSighting;
  readonly identity: IdentitySighting;
}

async function askSnmp(question: Question, context: AskContext): Promise<SnmpState> {
  const { credential, probes, patiences, signal } = context;
  if (question.snmp === undefined)
    return {
      sighting: { outcome: 'not-run', reason: 'the plan names no SNMP credential for it' },
      identity: {},
    };
  if ('missing' in credential)
    return { sighting: { outcome: 'not-run', reason: credential.missing }, identity: {} };
  const target = { address: question.address, credential };
  const { sighting, identity } = await paced(question, context, () =>
    probes.snmp(target, patiences.snmp, signal),
  );
  return { sighting, identity: identity === undefined ? {} : { snmp: identity } };
}

/** Where a second box cannot be excluded by ARP: does it still say the same in a second connection? */
async function lookAgain(
  question: Question,
  tcp: readonly TcpState[],
  snmp: SnmpState,
  context: AskContext,
  before: readonly ServiceProof[],
): Promise<{ identity: IdentitySighting }> {
  const snmpAgain = snmp.sighting.outcome === 'replied' ? await askSnmp(question, context) : snmp;
  return proveServices(question, tcp, snmpAgain, context, before);
}

/** Second pass (`before` given): asks again only what told who the box is, to see whether it still says the same. */
async function proveServices(
  question: Question,
  tcp: readonly TcpState[],
  snmp: SnmpState,
  context: AskContext,
  before?: readonly ServiceProof[],
): Promise<{ proofs: readonly ServiceProof[]; identity: IdentitySighting }> {
  const { probes, patiences, signal } = context;
  const { address } = question;
  const asked = question.services.filter((service) => {
    if (before !== undefined)
      return before.some((proof) => sameService(proof, service) && proof.outcome === 'proven');
    if (service.protocol === 'udp') return !(isSnmp(service) && snmp.sighting.outcome === 'replied');
    return tcp.some((state) => state.service === service && state.answer.outcome === 'accepted');
  });
  const answers = await Promise.all(
    asked.map((service) =>
      paced(question, context, () => probes.prove({ address, service }, patiences.proof, signal)),
    ),
  );
  const secure = answers.find(({ identity }) => identity?.https !== undefined)?.identity?.https?.port;
  const redfish =
    secure === undefined
      ? undefined
      : await paced(question, context, () =>
          probes.redfish({ address, port: secure }, patiences.proof, signal),
        );
  const identity = mergeIdentities([
    snmp.identity,
    ...answers.flatMap((answer) => (answer.identity === undefined ? [] : [answer.identity])),
    redfish === undefined ? {} : { redfish },
  ]);
  const proofs = question.services.map(
    (service): ServiceProof =>
      answers.find(({ proof }) => sameService(proof, service))?.proof ??
      (isSnmp(service) && snmp.sighting.outcome === 'replied'
        ? { ...named(service), outcome: 'proven', detail: `SNMP version ${snmp.sighting.version} answered` }
        : proofOfConnect(service, tcp)),
  );
  return { proofs, identity };
}

function notAccepted(question: Question, tcp: readonly TcpState[]): ServiceProof[] {
  return question.services.map((service) => proofOfConnect(service, tcp));
}

/** What the connect alone says of a service that was not asked to speak. */
function proofOfConnect(service: PlannedService, tcp: readonly TcpState[]): ServiceProof {
  const answer = tcp.find((state) => state.service === service)?.answer;
  switch (answer?.outcome) {
    case 'refused':
    case 'unreachable':
      return { ...named(service), outcome: answer.outcome };
    case 'no-reply':
      return { ...named(service), outcome: 'silent' };
    case 'not-run':
      return { ...named(service), outcome: 'not-run', reason: answer.reason ?? 'not asked' };
    default:
      return { ...named(service), outcome: 'not-run', reason: 'the box did not answer anything else' };
  }
}

async function askIscsi(
  question: Question,
  tcp: readonly TcpState[],
  context: AskContext,
): Promise<AddressSighting['iscsi']> {
  const { probes, patiences, signal } = context;
  const portal = question.services.find((service) => service.name.startsWith('iscsi'));
  if (portal === undefined) return { outcome: 'not-run', reason: 'no iSCSI service is planned here' };
  const state = tcp.find(({ service }) => service === portal);
  if (state?.answer.outcome !== 'accepted')
    return { outcome: 'not-run', reason: 'the iSCSI port takes no connection' };
  const target = { address: question.address, port: portal.port };
  return paced(question, context, () => probes.iscsi(target, patiences.iscsi, signal));
}

async function askMtu(
  question: Question,
  icmp: IcmpSighting,
  context: AskContext,
): Promise<AddressSighting['mtu']> {
  const { probes, patiences, signal, interfaceMtu } = context;
  if (question.mtu === undefined) return { outcome: 'not-run', reason: 'the plan states no MTU for it' };
  if (icmp.outcome !== 'replied') return notRunFor(icmp);
  const target = { address: question.address, plannedMtu: question.mtu, interfaceMtu };
  return paced(question, context, () => probes.mtu(target, patiences.mtu, signal));
}

function notRunFor(icmp: IcmpSighting): NotRun {
  const why = icmp.outcome === 'not-run' ? icmp.reason : 'it does not answer an echo';
  return { outcome: 'not-run', reason: `path MTU is measured by echo: ${why}` };
}

function assemble(
  blank: AddressSighting,
  icmp: IcmpSighting,
  tcp: readonly TcpState[],
  snmp: SnmpSighting,
  proofs: readonly ServiceProof[],
  identity: IdentitySighting,
): AddressSighting {
  return { ...blank, icmp, tcp: tcp.map(tcpSighting), proofs, snmp, identity };
}

function tcpSighting({ service, answer }: TcpState): TcpSighting {
  const at = { port: service.port, service: service.name };
  if (answer.outcome === 'not-run')
    return { ...at, outcome: 'not-run', reason: answer.reason ?? 'not asked' };
  return {
    ...at,
    outcome: answer.outcome,
    ...(answer.connectMs === undefined ? {} : { connectMs: answer.connectMs }),
    ...(answer.detail === undefined ? {} : { detail: answer.detail }),
  };
}

function named({ name, protocol, port }: PlannedService): {
  service: string;
  protocol: 'tcp' | 'udp';
  port: number;
} {
  return { service: name, protocol, port };
}

function sameService(proof: ServiceProof, service: PlannedService): boolean {
  return proof.service === service.name && proof.port === service.port && proof.protocol === service.protocol;
}

function isSnmp(service: PlannedService): boolean {
  return service.name === 'snmp';
}
