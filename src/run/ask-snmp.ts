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
import { slowness } from './within-share.js';

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
  let state = await askAgent(question, Math.min(FEWEST, usual), context);
  if (answered(state)) {
    life.shown();
    context.onAgent?.(question, state.sighting);
  }
  life.looked();
  if (!silent(state) || !(await life.there)) return state;
  const more = Math.min(usual, context.losses.needed(usual)) - FEWEST;
  if (more <= 0) return state;
  state = await askAgent(question, more, context);
  if (answered(state)) context.onAgent?.(question, state.sighting);
  return state;
}

/** Once more, without a second look: does it still say the same? */
export function askSnmpAgain(question: Question, context: AskContext): Promise<SnmpState> {
  return askAgent(question, context.patiences.snmp.attempts, context);
}

async function askAgent(question: Question, attempts: number, context: AskContext): Promise<SnmpState> {
  const { credential, probes, pacer, patiences, shares, signal } = context;
  const planned = question.services.find(isSnmpService);
  const port = credential !== undefined && 'port' in credential ? credential.port : SNMP_PORT;
  const service = planned ?? { name: 'snmp', protocol: 'udp' as const, port };
  const target = { address: question.address, service, credential };
  const { device } = question;
  const { sighting, proof, identity } = await pacer.run(
    device,
    FRAMES.snmp,
    async (): Promise<SnmpAnswer> => {
      const left = shares.leftMs(device, slowness(context));
      const tries = Math.min(attempts, Math.floor(left / patiences.snmp.timeoutMs));
      if (tries === 0) return notAsked(service, shares.usedUp(device));
      const answer = await probes.snmp(target, { ...patiences.snmp, attempts: tries }, signal);
      // Fewer tries than make silence sure prove nothing.
      return tries < attempts && silent(answer) ? notAsked(service, shares.usedUp(device)) : answer;
    },
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

function answered({ sighting, proof }: SnmpState): boolean {
  return sighting.outcome === 'replied' || proof?.outcome === 'proven';
}

function silent({ sighting, proof }: Pick<SnmpState, 'sighting' | 'proof'>): boolean {
  return sighting.outcome === 'no-reply' || (sighting.outcome === 'not-run' && proof?.outcome === 'silent');
}
