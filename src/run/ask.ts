/** One address: what is asked, in which order, and what the answers add up to. The pace is src/run/pace.ts's. */
import type { PlannedService } from '../plan/model.js';
import { isSnmpService } from '../plan/services.js';
import { iscsiProof } from '../probe/iscsi.js';
import type {
  AddressSighting,
  Cause,
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
import type { Credential, ProbeSet } from './probe-set.js';
import type { Question } from './questions.js';

export interface AskContext {
  readonly probes: ProbeSet;
  readonly pacer: Pacer;
  readonly patiences: Patiences;
  readonly signal: AbortSignal;
  /** The credential with its secrets, or why it has none; absent where the plan names none. */
  readonly credential?: Credential | undefined;
  /** MTU of the interface that the questions leave by. */
  readonly interfaceMtu?: number | undefined;
}

type TcpState = { readonly service: PlannedService; readonly answer: TcpSighting };

export async function askAddress(
  question: Question,
  standpoint: Standpoint,
  presence: PresenceSighting,
  context: AskContext,
): Promise<AddressSighting> {
  const blank = blankSighting(question, standpoint, presence, {
    cause: 'needs-another-answer',
    reason: 'not asked',
  });
  const tcpServices = question.services.filter((service) => service.protocol === 'tcp');

  const [firstIcmp, firstTcp, snmpAnswer] = await Promise.all([
    paced(question, context, () => askIcmp(question, context, 'firstIcmp')),
    Promise.all(tcpServices.map((service) => askTcp(question, service, context, 'firstTcp'))),
    askSnmp(question, context),
  ]);
  // Of a swept address the claim is all that matters; a second look is for what the plan wants proven.
  const present =
    (presence.outcome === 'claimed' && question.kind !== 'swept') ||
    firstIcmp.outcome === 'replied' ||
    firstTcp.some(({ answer }) => answer.outcome === 'accepted' || answer.outcome === 'refused') ||
    snmpAnswer.sighting.outcome === 'replied' ||
    snmpAnswer.proof?.outcome === 'proven';
  if (!present)
    return assemble(
      blank,
      firstIcmp,
      firstTcp,
      snmpAnswer.sighting,
      notAccepted(question, firstTcp, snmpAnswer),
      {},
    );

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
  const iscsi = await askIscsi(question, tcp, context);
  return {
    ...sighting,
    proofs: withIscsi(sighting.proofs, question, iscsi),
    iscsi,
    mtu: await askMtu(question, icmp, context),
  };
}

/** The discovery session proves the iSCSI service better than the connection that its port took. */
function withIscsi(
  proofs: readonly ServiceProof[],
  question: Question,
  iscsi: AddressSighting['iscsi'],
): readonly ServiceProof[] {
  const portal = iscsiPortal(question);
  if (portal === undefined || iscsi.outcome === 'not-run') return proofs;
  return proofs.map((proof) => (sameService(proof, portal) ? iscsiProof(iscsi, portal) : proof));
}

function iscsiPortal(question: Question): PlannedService | undefined {
  return question.services.find((service) => service.name.startsWith('iscsi'));
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
  const target = { address: question.address, service };
  return {
    service,
    answer: await paced(question, context, () => probes.tcp(target, patiences[which], signal)),
  };
}

interface SnmpState {
  readonly sighting: SnmpSighting;
  readonly proof?: ServiceProof | undefined;
  readonly identity: IdentitySighting;
}

const NO_AGENT: SnmpState = {
  sighting: {
    outcome: 'not-run',
    cause: 'not-planned',
    reason: 'the plan names neither SNMP nor a credential here',
  },
  identity: {},
};

async function askSnmp(question: Question, context: AskContext): Promise<SnmpState> {
  const { credential, probes, patiences, signal } = context;
  const planned = question.services.find(isSnmpService);
  if (planned === undefined && credential === undefined) return NO_AGENT;
  const port = credential !== undefined && 'port' in credential ? credential.port : 161;
  const service = planned ?? { name: 'snmp', protocol: 'udp' as const, port };
  const target = { address: question.address, service, credential };
  const { sighting, proof, identity } = await paced(question, context, () =>
    probes.snmp(target, patiences.snmp, signal),
  );
  return {
    sighting,
    proof: planned === undefined ? undefined : proof,
    identity: identity === undefined ? {} : { snmp: identity },
  };
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
    // Their own questions tell more: SNMP with its credential, iSCSI by its discovery session.
    if (isSnmpService(service) || service === iscsiPortal(question)) return false;
    if (before !== undefined)
      return before.some((proof) => sameService(proof, service) && proof.outcome === 'proven');
    if (service.protocol === 'udp') return true;
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
    redfish?.outcome === 'found' ? { redfish: redfish.identity } : {},
  ]);
  const proofs = question.services.map(
    (service): ServiceProof =>
      answers.find(({ proof }) => sameService(proof, service))?.proof ??
      snmpProof(service, snmp) ??
      proofOfConnect(service, tcp),
  );
  return { proofs, identity };
}

function notAccepted(question: Question, tcp: readonly TcpState[], snmp: SnmpState): ServiceProof[] {
  return question.services.map((service) => snmpProof(service, snmp) ?? proofOfConnect(service, tcp));
}

/** One question proves SNMP by whichever name the plan has it. */
function snmpProof(service: PlannedService, { proof }: SnmpState): ServiceProof | undefined {
  return isSnmpService(service) && proof?.port === service.port
    ? { ...proof, service: service.name }
    : undefined;
}

/** What the connect alone says of a service that was not asked to speak. */
function proofOfConnect(service: PlannedService, tcp: readonly TcpState[]): ServiceProof {
  const answer = tcp.find((state) => state.service === service)?.answer;
  switch (answer?.outcome) {
    case 'refused':
    case 'unreachable':
      return { ...named(service), outcome: answer.outcome, ...why(answer) };
    case 'no-reply':
      return { ...named(service), outcome: 'silent', ...why(answer) };
    case 'not-run':
      return { ...named(service), outcome: 'not-run', cause: answer.cause, reason: answer.reason };
    default:
      return {
        ...named(service),
        outcome: 'not-run',
        cause: 'needs-another-answer',
        reason: 'the device did not answer anything else',
      };
  }
}

function why({ cause, detail }: { cause?: Cause | undefined; detail?: string | undefined }) {
  return { ...(cause === undefined ? {} : { cause }), ...(detail === undefined ? {} : { detail }) };
}

async function askIscsi(
  question: Question,
  tcp: readonly TcpState[],
  context: AskContext,
): Promise<AddressSighting['iscsi']> {
  const { probes, patiences, signal } = context;
  const portal = iscsiPortal(question);
  if (portal === undefined)
    return { outcome: 'not-run', cause: 'not-planned', reason: 'no iSCSI service is planned here' };
  const state = tcp.find(({ service }) => service === portal);
  if (state?.answer.outcome !== 'accepted')
    return {
      outcome: 'not-run',
      cause: 'needs-another-answer',
      reason: 'the iSCSI port takes no connection',
    };
  const target = { address: question.address, port: portal.port };
  return paced(question, context, () => probes.iscsi(target, patiences.iscsi, signal));
}

async function askMtu(
  question: Question,
  icmp: IcmpSighting,
  context: AskContext,
): Promise<AddressSighting['mtu']> {
  const { probes, patiences, signal, interfaceMtu } = context;
  if (question.mtu === undefined)
    return { outcome: 'not-run', cause: 'not-planned', reason: 'the plan states no MTU for it' };
  if (icmp.outcome !== 'replied') return notRunFor(icmp);
  const target = { address: question.address, plannedMtu: question.mtu, interfaceMtu };
  return paced(question, context, () => probes.mtu(target, patiences.mtu, signal));
}

function notRunFor(icmp: IcmpSighting): NotRun {
  const why = icmp.outcome === 'not-run' ? icmp.reason : 'it does not answer an echo';
  return {
    outcome: 'not-run',
    cause: 'needs-another-answer',
    reason: `path MTU is measured by echo: ${why}`,
  };
}

function assemble(
  blank: AddressSighting,
  icmp: IcmpSighting,
  tcp: readonly TcpState[],
  snmp: SnmpSighting,
  proofs: readonly ServiceProof[],
  identity: IdentitySighting,
): AddressSighting {
  return { ...blank, icmp, tcp: tcp.map(({ answer }) => answer), proofs, snmp, identity };
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
