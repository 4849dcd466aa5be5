/** One TCP service: a connection, and what it proves over that same connection. */

import type { PlannedService } from '../plan/model.js';
import { isIscsiService } from '../plan/services.js';
import type { Patience } from '../probe/types.js';
import type { AddressSighting, IdentitySighting, ServiceProof, TcpSighting } from '../sighting/types.js';
import type { AskContext } from './ask-context.js';
import { mergeIdentities } from './identity.js';
import { FRAMES } from './pace.js';
import type { Question } from './questions.js';
import type { SignOfLife } from './sign-of-life.js';
import { FEWEST } from './silence.js';

export interface ServiceState {
  readonly service: PlannedService;
  readonly answer: TcpSighting;
  /** Absent where the port took no connection. */
  readonly proof?: ServiceProof | undefined;
  readonly identity?: IdentitySighting | undefined;
  readonly iscsi?: AddressSighting['iscsi'] | undefined;
}

/** Losses above this share leave an accepted connection waiting for its words: then it gets twice the time. */
const LOSSY = 0.05;

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
  const { losses } = context;
  return context.pacer.run(question.device, FRAMES.connect, async (release) => {
    // What hangs is no load on the device, and its place is needed for those that answer.
    const hanging = setTimeout(release, patience.timeoutMs);
    let answered = false;
    const onAnswer = (tries: number): void => {
      if (answered) return;
      answered = true;
      clearTimeout(hanging);
      if (!isBare(service)) context.pacer.charge(FRAMES.proof);
      losses.answeredAt(tries);
      life.shown();
      life.looked();
    };
    const state = await prove(question, service, context, { ...patience, answered: onAnswer });
    clearTimeout(hanging);
    if (state.answer.outcome === 'accepted' || state.answer.outcome === 'refused') onAnswer(1);
    else life.looked();
    return state;
  });
}

async function prove(
  question: Question,
  service: PlannedService,
  context: AskContext,
  connect: Patience,
): Promise<ServiceState> {
  const { probes, patiences, signal, hung } = context;
  const { address, device } = question;
  const usual = patienceFor(isIscsiService(service) ? patiences.iscsi : patiences.proof, context);
  const patience = hung?.patienceFor(device, usual) ?? usual;
  const beganMs = performance.now();
  let told = await probes.prove({ address, service, connect }, patience, signal);
  const answer = told.tcp ?? (await probes.tcp({ address, service }, connect, signal));
  if (answer.outcome !== 'accepted') return { service, answer };
  // Ended by the other side in silence: the address may have moved to another device under the connection.
  const soon = performance.now() - beganMs < patience.timeoutMs / 2;
  if (told.proof.outcome === 'silent' && soon)
    told = await probes.prove({ address, service }, patience, signal);
  const { proof, identity, iscsi } = told;
  if (performance.now() - beganMs > patience.timeoutMs / 2 && proof.outcome !== 'proven') hung?.add(device);
  const secure = identity?.https?.port;
  // A page that had not ended when its time was up has cost the device's share already.
  if (secure === undefined || proof.cause === 'timeout') return { service, answer, proof, identity, iscsi };
  const redfish = await probes.redfish({ address, port: secure }, patience, signal);
  const found = redfish.outcome === 'found' ? { redfish: redfish.identity } : {};
  return { service, answer, proof, identity: mergeIdentities([identity ?? {}, found]) };
}

/** Of a bare port the connection is all that is asked. */
function isBare({ name, port }: PlannedService): boolean {
  return name === `tcp/${port}`;
}

export function patienceFor(patience: Patience, { losses }: AskContext): Patience {
  const { answered, lost } = losses.count();
  return lost > LOSSY * (answered + lost) ? { ...patience, timeoutMs: patience.timeoutMs * 2 } : patience;
}
