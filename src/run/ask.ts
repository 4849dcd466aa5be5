/**
 * One address: what is asked, and what the answers add up to. All is asked at once; each answer leads at once to what follows from it;
 * what stays silent is asked again only where something else answers. The pace is src/run/pace.ts's.
 */
import type { PlannedService } from '../plan/model.js';
import { isIscsiService, isSnmpService } from '../plan/services.js';
import type {
  AddressSighting,
  Cause,
  IcmpSighting,
  NotRun,
  PresenceSighting,
  ServiceProof,
} from '../sighting/types.js';
import type { AskContext } from './ask-context.js';
import { askEcho } from './ask-echo.js';
import { askService, namesOf, type ServiceState } from './ask-service.js';
import { askSnmp, askSnmpAgain, asksSnmp, type SnmpState } from './ask-snmp.js';
import { blankSighting, type Standpoint } from './blank.js';
import { changedFacts, mergeIdentities } from './identity.js';
import { FRAMES } from './pace.js';
import type { Question } from './questions.js';
import { createSignOfLife, type SignOfLife } from './sign-of-life.js';
import { FEWEST } from './silence.js';
import { askWithin, patienceFor, releaseInSilence, slowness } from './within-share.js';

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
  const agent = asksSnmp(question, context) ? 1 : 0;
  const others = tcpServices.length + agent;
  // Of a swept address the claim is all that matters; a second look is for what the plan wants proven.
  const claimed = presence.outcome === 'claimed' && question.kind !== 'swept';
  const life = createSignOfLife(claimed, 1 + others);

  const [[icmp, mtu], services, snmp, spoken] = await Promise.all([
    askEcho(question, life, FEWEST * others, context).then(
      async (echo) => [echo, await askMtu(question, echo, context)] as const,
    ),
    Promise.all(tcpServices.map((service) => askService(question, service, life, context))),
    askSnmp(question, life, context),
    proveDatagrams(question, life, context),
  ]);
  const asked: AddressSighting = {
    ...blank,
    icmp,
    tcp: services.map(({ answer }) => answer),
    proofs: question.services.map((service) => proofOf(service, services, snmp, spoken)),
    snmp: snmp.sighting,
    identity: mergeIdentities([
      snmp.identity,
      ...services.flatMap(({ identity }) => (identity === undefined ? [] : [identity])),
    ]),
    iscsi: iscsiOf(services),
    mtu,
  };
  return life.known() ? asked : withoutHalfSilence(asked);
}

/**
 * Nobody is known to be there, and for some questions there was no time: then all together are fewer than make silence sure, and none of it
 * counts (silence.ts).
 */
function withoutHalfSilence(asked: AddressSighting): AddressSighting {
  const { icmp, tcp, proofs, snmp } = asked;
  const cut = [icmp, ...tcp, ...proofs, snmp].find(isCut);
  if (cut === undefined) return asked;
  const why = { outcome: 'not-run', cause: cut.cause, reason: cut.reason, mend: cut.mend } as const;
  return {
    ...asked,
    icmp: icmp.outcome === 'no-reply' ? why : icmp,
    tcp: tcp.map((one) =>
      one.outcome === 'no-reply' ? { service: one.service, port: one.port, ...why } : one,
    ),
    proofs: proofs.map((one) => (one.outcome === 'silent' ? { ...namesOfProof(one), ...why } : one)),
    snmp: snmp.outcome === 'no-reply' ? why : snmp,
  };
}

function isCut<Told extends { readonly outcome: string }>(told: Told): told is Told & NotRun {
  return told.outcome === 'not-run' && 'cause' in told && told.cause === 'bound-reached';
}

function namesOfProof({
  service,
  protocol,
  port,
}: ServiceProof): Pick<ServiceProof, 'service' | 'protocol' | 'port'> {
  return { service, protocol, port };
}

/** Where a second device cannot be excluded by ARP: does it still say the same in a second connection? */
export async function lookAgain(
  question: Question,
  sighting: AddressSighting,
  context: AskContext,
): Promise<AddressSighting> {
  const { probes, pacer, signal } = context;
  const { address, device } = question;
  const proven = question.services.filter((service) =>
    sighting.proofs.some((proof) => sameService(proof, service) && proof.outcome === 'proven'),
  );
  const answers = await Promise.all(
    proven
      .filter((service) => !isSnmpService(service) && !isIscsiService(service))
      .map((service) =>
        pacer.run(device, FRAMES.connect + FRAMES.proof, () =>
          askWithin(
            device,
            context,
            (patience) => probes.prove({ address, service }, patience, signal),
            ({ proof }) => proof.outcome !== 'proven',
          ),
        ),
      ),
  );
  const snmp = sighting.snmp.outcome === 'replied' ? (await askSnmpAgain(question, context)).identity : {};
  const again = mergeIdentities([snmp, ...answers.flatMap((answer) => answer?.identity ?? [])]);
  const changed = changedFacts(sighting.identity, again);
  return changed.length === 0 ? sighting : { ...sighting, identity: { ...sighting.identity, changed } };
}

/** Services over UDP other than SNMP: asked where somebody is there. */
async function proveDatagrams(
  question: Question,
  life: SignOfLife,
  context: AskContext,
): Promise<readonly ServiceProof[]> {
  const { probes, pacer, patiences, shares, signal } = context;
  const { silent } = shares;
  const { address, device } = question;
  const services = question.services.filter(
    (service) => service.protocol === 'udp' && !isSnmpService(service),
  );
  if (services.length === 0 || !(await life.there)) return [];
  return Promise.all(
    services.map(async (service): Promise<ServiceProof> => {
      const unasked = (why: NotRun): ServiceProof => ({ ...namesOf(service), ...why });
      return pacer.run(device, FRAMES.snmp, async (release) => {
        const { timeoutMs } = patienceFor(patiences.proof, context);
        const look = silent.begin(device, { needMs: timeoutMs }, signal, slowness(context));
        if (look === undefined) return unasked(silent.usedUp(device));
        const given = releaseInSilence(device, release, timeoutMs, context);
        const answer = await askWithin(
          device,
          context,
          (patience) => probes.prove({ address, service }, patience, look.signal),
          ({ proof }) => proof.outcome !== 'proven',
        );
        given.end();
        const came =
          answer !== undefined && ['proven', 'other-protocol', 'refused'].includes(answer.proof.outcome);
        if (came) look.answered();
        if (look.end(!came)) return unasked(silent.usedUp(device));
        return answer?.proof ?? unasked(shares.usedUp(device));
      });
    }),
  );
}

function proofOf(
  service: PlannedService,
  services: readonly ServiceState[],
  snmp: SnmpState,
  spoken: readonly ServiceProof[],
): ServiceProof {
  if (isSnmpService(service) && snmp.proof !== undefined) return { ...snmp.proof, ...namesOf(service) };
  const state = services.find((one) => one.service === service);
  return (
    state?.proof ?? spoken.find((proof) => sameService(proof, service)) ?? proofOfConnect(service, state)
  );
}

/** What the connect alone says of a service that was not asked to speak. */
function proofOfConnect(service: PlannedService, state: ServiceState | undefined): ServiceProof {
  const named = namesOf(service);
  const answer = state?.answer;
  switch (answer?.outcome) {
    case 'refused':
    case 'unreachable':
      return { ...named, outcome: answer.outcome, ...why(answer) };
    case 'no-reply':
      return { ...named, outcome: 'silent', ...why(answer) };
    case 'not-run':
      return { ...named, outcome: 'not-run', cause: answer.cause, reason: answer.reason };
    default:
      return {
        ...named,
        outcome: 'not-run',
        cause: 'needs-another-answer',
        reason: 'the device did not answer anything else',
      };
  }
}

function why({ cause, detail }: { cause?: Cause | undefined; detail?: string | undefined }) {
  return { ...(cause === undefined ? {} : { cause }), ...(detail === undefined ? {} : { detail }) };
}

function iscsiOf(services: readonly ServiceState[]): AddressSighting['iscsi'] {
  const portal = services.find(({ service }) => isIscsiService(service));
  if (portal?.iscsi !== undefined) return portal.iscsi;
  return portal === undefined
    ? { outcome: 'not-run', cause: 'not-planned', reason: 'no iSCSI service is planned here' }
    : {
        outcome: 'not-run',
        cause: 'needs-another-answer',
        reason: 'the iSCSI port takes no connection',
      };
}

async function askMtu(
  question: Question,
  icmp: IcmpSighting,
  context: AskContext,
): Promise<AddressSighting['mtu']> {
  const { probes, pacer, patiences, signal, interfaceMtu } = context;
  if (question.mtu === undefined)
    return { outcome: 'not-run', cause: 'not-planned', reason: 'the plan states no MTU for it' };
  if (icmp.outcome !== 'replied') return notRunFor(icmp);
  const target = { address: question.address, plannedMtu: question.mtu, interfaceMtu };
  return pacer.run(question.device, FRAMES.mtu, () => probes.mtu(target, patiences.mtu, signal));
}

function notRunFor(icmp: IcmpSighting): NotRun {
  const why = icmp.outcome === 'not-run' ? icmp.reason : 'it does not answer an echo';
  return {
    outcome: 'not-run',
    cause: 'needs-another-answer',
    reason: `path MTU is measured by echo: ${why}`,
  };
}

function sameService(proof: ServiceProof, service: PlannedService): boolean {
  return proof.service === service.name && proof.port === service.port && proof.protocol === service.protocol;
}
