/** SNMP: with the credential of the plan, or only whether an agent lives there. */
import type { PlannedService } from '../plan/model.js';
import { isSnmpService, SNMP_PORT } from '../plan/services.js';
import type { IdentitySighting, NotRun, ServiceProof, SnmpSighting } from '../sighting/types.js';
import type { SnmpAnswer } from '../snmp/agent.js';
import type { AskContext } from './ask-context.js';
import { FRAMES } from './pace.js';
import type { Question } from './questions.js';
import type { SignOfLife } from './sign-of-life.js';
import { FEWEST } from './silence.js';
import { BESIDE } from './silent-looks.js';
import { releaseInSilence, slowness } from './within-share.js';

export interface SnmpState {
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

export function asksSnmp(question: Question, context: Pick<AskContext, 'credential'>): boolean {
  return context.credential !== undefined || question.services.some(isSnmpService);
}

export async function askSnmp(question: Question, life: SignOfLife, context: AskContext): Promise<SnmpState> {
  if (!asksSnmp(question, context)) return NO_AGENT;
  const usual = context.patiences.snmp.attempts;
  const needed = (): number => Math.min(usual, context.losses.needed(usual));
  const first = Math.min(FEWEST, usual);
  let asked = 0;
  let looked = false;
  const ended = (state: SnmpOutcome): void => {
    if (answered(state)) life.shown();
    if (!looked) life.looked();
    looked = true;
  };
  /** Where somebody is known to be there the question goes on as one, else it waits for a sign of life. */
  const tries = (soFar: SnmpOutcome | undefined): number => {
    if (soFar !== undefined) ended(soFar);
    const more = soFar === undefined ? first : silent(soFar) && life.known() ? needed() - asked : 0;
    asked += more;
    return more;
  };
  const there = life.known();
  const all = there && hasSecret(context) ? needed() : first;
  let state = await askAgent(question, context, { tries: all, there }, tries);
  ended(state);
  if (silent(state) && asked < needed() && (await life.there)) {
    const more = needed() - asked;
    if (more > 0)
      state = await askAgent(question, context, { tries: more }, (soFar) => (soFar === undefined ? more : 0));
  }
  if (answered(state)) context.onAgent?.(question, state.sighting);
  return state;
}

/** Once more, without a second look: does it still say the same? */
export function askSnmpAgain(question: Question, context: AskContext): Promise<SnmpState> {
  const { attempts } = context.patiences.snmp;
  return askAgent(question, context, { tries: attempts }, (soFar) => (soFar === undefined ? attempts : 0));
}

/** `all`: tries until its silence is sure; `triesNext`: how many come next, after what those before brought. None ends it. */
async function askAgent(
  question: Question,
  context: AskContext,
  all: { readonly tries: number; readonly there?: boolean },
  triesNext: (soFar: SnmpOutcome | undefined) => number,
): Promise<SnmpState> {
  const { credential, probes, pacer, patiences, shares } = context;
  const planned = question.services.find(isSnmpService);
  const port = credential !== undefined && 'port' in credential ? credential.port : SNMP_PORT;
  const service = planned ?? { name: 'snmp', protocol: 'udp' as const, port };
  const target = { address: question.address, service, credential };
  const { device } = question;
  const wanted = {
    needMs: all.tries * patiences.snmp.timeoutMs,
    there: all.there,
    round: hasSecret(context) ? 0 : BESIDE,
  };
  const { sighting, proof, identity } = await pacer.run(
    device,
    FRAMES.snmp,
    async (release): Promise<SnmpAnswer> => {
      const look = shares.silent.begin(device, wanted, context.signal, slowness(context));
      if (look === undefined) return notAsked(service, shares.silent.usedUp(device));
      const given = releaseInSilence(device, release, patiences.snmp.timeoutMs, context);
      const onAnswer = (): void => {
        given.end();
        look.answered();
      };
      let answer: SnmpAnswer | undefined;
      for (let next = triesNext(undefined); next > 0; next = triesNext(answer)) {
        const left = shares.leftMs(device, slowness(context));
        const attempts = Math.min(next, Math.floor(left / patiences.snmp.timeoutMs));
        if (attempts > 0)
          answer = await probes.snmp(
            target,
            { ...patiences.snmp, attempts, answered: onAnswer },
            look.signal,
          );
        // Fewer tries than make silence sure prove nothing.
        if (answer === undefined || (attempts < next && silent(answer)))
          answer = notAsked(service, shares.usedUp(device));
      }
      given.end();
      const came = answer !== undefined && heard(answer);
      if (came) look.answered();
      const wasCut = look.end(!came);
      return answer === undefined || wasCut ? notAsked(service, shares.silent.usedUp(device)) : answer;
    },
    () => shares.silent.isOpen(device, wanted, slowness(context)),
    shares.silent.wish(device, wanted),
  );
  return {
    sighting,
    proof: planned === undefined ? undefined : proof,
    identity: identity === undefined ? {} : { snmp: identity },
  };
}

function notAsked({ name, protocol, port }: PlannedService, why: NotRun): SnmpAnswer {
  return { sighting: why, proof: { service: name, protocol, port, ...why } };
}

type SnmpOutcome = Pick<SnmpState, 'sighting' | 'proof'>;

function answered({ sighting, proof }: SnmpOutcome): boolean {
  return sighting.outcome === 'replied' || proof?.outcome === 'proven';
}

/** Something came from there, be it a refusal. */
function heard({ sighting, proof }: SnmpOutcome): boolean {
  return (
    sighting.outcome === 'replied' ||
    sighting.outcome === 'rejected' ||
    sighting.outcome === 'refused' ||
    ['proven', 'other-protocol', 'refused'].includes(proof?.outcome ?? '')
  );
}

/** Without a secret it is only asked whether an agent lives there, and its silence proves nothing. */
function hasSecret({ credential }: AskContext): boolean {
  return credential !== undefined && !('missing' in credential);
}

function silent({ sighting, proof }: SnmpOutcome): boolean {
  return sighting.outcome === 'no-reply' || (sighting.outcome === 'not-run' && proof?.outcome === 'silent');
}
