/** One TCP service: a connection, and what it proves over that same connection. */

import type { PlannedService } from '../plan/model.js';
import { isBarePort, isIscsiService } from '../plan/services.js';
import type { Patience } from '../probe/types.js';
import type {
  AddressSighting,
  IdentitySighting,
  NotRun,
  ServiceProof,
  TcpSighting,
} from '../sighting/types.js';
import type { AskContext } from './ask-context.js';
import type { Share } from './device-share.js';
import { mergeIdentities } from './identity.js';
import { FRAMES } from './pace.js';
import type { Question } from './questions.js';
import type { SignOfLife } from './sign-of-life.js';
import { FEWEST } from './silence.js';
import type { Release } from './slots.js';
import { isUnresolved, UNRESOLVED_AGAIN } from './unresolved.js';
import { askWithin, patienceFor, slowness } from './within-share.js';

export interface ServiceState {
  readonly service: PlannedService;
  readonly answer: TcpSighting;
  /** Absent where the port took no connection. */
  readonly proof?: ServiceProof | undefined;
  readonly identity?: IdentitySighting | undefined;
  readonly iscsi?: AddressSighting['iscsi'] | undefined;
}

export async function askService(
  question: Question,
  service: PlannedService,
  life: SignOfLife,
  context: AskContext,
): Promise<ServiceState> {
  const { patiences, losses } = context;
  const usual = patiences.connect.attempts;
  let asked = Math.min(FEWEST, usual);
  const first = await attempt(question, service, life, context, {
    ...patiences.connect,
    attempts: asked,
    more: (tries) => {
      asked = tries;
      if (!life.known() || tries >= losses.needed(usual)) return false;
      asked += 1;
      return true;
    },
  });
  let state = first;
  for (let again = 0; again < UNRESOLVED_AGAIN && isUnresolved(state.answer, life); again += 1) {
    if (context.signal.aborted) break;
    state = await attempt(question, service, life, context, { ...patiences.connect, attempts: FEWEST });
  }
  // Meanwhile more may have become known of the loss: then it is asked again.
  while (state.answer.outcome === 'no-reply' && (await life.there) && !context.signal.aborted) {
    const more = losses.needed(usual) - asked;
    if (more <= 0) break;
    asked += more;
    state = await attempt(question, service, life, context, { ...patiences.connect, attempts: more });
  }
  return state;
}

/** Counts as a first look until its connection is answered or given up. */
function attempt(
  question: Question,
  service: PlannedService,
  life: SignOfLife,
  context: AskContext,
  patience: Patience,
): Promise<ServiceState> {
  const { losses, shares } = context;
  const { device } = question;
  const { silent } = shares;
  const unasked = (why: NotRun): ServiceState => {
    const { name, port } = service;
    return { service, answer: { service: name, port, ...why } };
  };
  const tcp = question.services.filter(({ protocol }) => protocol === 'tcp');
  const wanted = {
    needMs: silenceOf(patience, life, context),
    there: life.known(),
    round: tcp.indexOf(service),
    again: patience.more === undefined,
  };
  const ask = async (release: Release): Promise<ServiceState> => {
    const slow = slowness(context);
    const share = shares.begin(device, patienceFor(usualFor(service, context), context), slow);
    const look = share === undefined ? undefined : silent.begin(device, wanted, context.signal, slow);
    if (share === undefined || look === undefined) {
      life.looked();
      return unasked(share === undefined ? shares.usedUp(device) : silent.usedUp(device));
    }
    // What hangs is no load on the device, and its place is needed for those that answer.
    const hanging = setTimeout(release, patience.timeoutMs);
    let answered = false;
    const onAnswer = (tries: number): void => {
      if (answered) return;
      answered = true;
      clearTimeout(hanging);
      look.answered();
      share.talks();
      if (!isBarePort(service)) context.pacer.charge(FRAMES.proof);
      losses.answeredAt(tries);
      life.shown();
      life.looked();
    };
    const within = { ...context, signal: look.signal };
    const state = await prove(question, service, within, share, {
      ...patience,
      answered: onAnswer,
      spared: (frames) => context.pacer.charge(-frames),
    });
    clearTimeout(hanging);
    if (state.answer.outcome === 'accepted' || state.answer.outcome === 'refused') onAnswer(1);
    else life.looked();
    return look.end(state.answer.outcome === 'no-reply') ? unasked(silent.usedUp(device)) : state;
  };
  const isOpen = (): boolean =>
    shares.leftMs(device, slowness(context)) > 0 && silent.isOpen(device, wanted, slowness(context));
  return context.pacer.run(device, FRAMES.connect, ask, isOpen, silent.wish(device, wanted));
}

/** How long it takes until the silence of a port is sure, in milliseconds. */
function silenceOf(
  { timeoutMs, attempts, lastMs = timeoutMs, more }: Patience,
  life: SignOfLife,
  { losses, patiences }: AskContext,
): number {
  const goesOn = more !== undefined && life.known();
  const tries = goesOn ? Math.max(attempts, losses.needed(patiences.connect.attempts)) : attempts;
  return (tries - 1) * timeoutMs + Math.max(timeoutMs, lastMs);
}

function usualFor(service: PlannedService, { patiences }: AskContext): Patience {
  return isIscsiService(service) ? patiences.iscsi : patiences.proof;
}

async function prove(
  question: Question,
  service: PlannedService,
  context: AskContext,
  share: Share,
  connect: Patience,
): Promise<ServiceState> {
  const { probes, signal } = context;
  const { address } = question;
  const { patience } = share;
  const beganMs = performance.now();
  const tookMs = (): number => performance.now() - beganMs;
  let told = await probes.prove({ address, service, connect }, patience, signal);
  const answer = told.tcp ?? (await probes.tcp({ address, service }, connect, signal));
  share.talks();
  if (answer.outcome !== 'accepted') {
    share.end(false);
    return { service, answer };
  }
  // Ended by the other side in silence: the address may have moved to another device under the connection.
  const soon = tookMs() < patience.timeoutMs / 2;
  if (told.proof.outcome === 'silent' && soon)
    told = await probes.prove({ address, service }, patience, signal);
  const { identity, iscsi } = told;
  const proof = cutShort(told.proof, share, tookMs())
    ? { ...namesOf(service), ...share.cutShort() }
    : told.proof;
  share.end(told.proof.outcome !== 'proven' || told.proof.cause === 'timeout');
  const secure = identity?.https?.port;
  // A page that had not ended when its time was up has cost the device's share already.
  if (secure === undefined || proof.cause === 'timeout') return { service, answer, proof, identity, iscsi };
  const redfish = await askWithin(
    question.device,
    context,
    (rest) => probes.redfish({ address, port: secure }, rest, signal),
    ({ outcome }) => outcome !== 'found',
  );
  const found = redfish?.outcome === 'found' ? { redfish: redfish.identity } : {};
  return { service, answer, proof, identity: mergeIdentities([identity ?? {}, found]) };
}

/** We ended it, and sooner than a service that hangs alone: its silence says nothing. */
function cutShort({ outcome, cause }: ServiceProof, share: Share, tookMs: number): boolean {
  if (outcome === 'proven' || outcome === 'not-run') return false;
  if (cause === 'accepted-and-silent' ? share.wholeWord : share.wholeTalk) return false;
  return tookMs >= 0.9 * share.patience.timeoutMs;
}

export function namesOf({
  name,
  protocol,
  port,
}: PlannedService): Pick<ServiceProof, 'service' | 'protocol' | 'port'> {
  return { service: name, protocol, port };
}
