/** One question, one answer, close: the shape of the service proofs that need no session. */
import { cleanText } from '../text/clean.js';
import { textOf } from '../wire/bytes.js';
import { converse } from './exchange.js';
import { INTERRUPTED } from './refusal.js';
import { answered, notAsked, type ServiceAnswer, type ServiceTarget } from './service-probe.js';
import { dial } from './tcp-dial.js';
import type { Patience } from './types.js';

export type Verdict = {
  readonly outcome: 'proven' | 'other-protocol';
  readonly detail: string;
};

export interface ServiceQuestion {
  readonly ask: Uint8Array;
  /** Judges all that came so far. `last` = no more will come. Undefined = not enough yet, or nothing to say. */
  readonly judge: (answer: Uint8Array, last: boolean) => Verdict | undefined;
}

/** Longest answer looked at, in octets. */
const ANSWER_LIMIT = 64 * 1024;

export async function askService(
  target: ServiceTarget,
  { ask, judge }: ServiceQuestion,
  patience: Patience,
  signal: AbortSignal,
): Promise<ServiceAnswer> {
  const { address, service } = target;
  const dialled = await dial({ address, port: service.port }, patience, signal);
  if (dialled.outcome === 'not-run') return { proof: notAsked(service, dialled) };
  if (dialled.outcome === 'no-reply') {
    return { proof: answered(service, 'silent', 'no answer to the connection') };
  }
  if (dialled.outcome !== 'accepted')
    return { proof: answered(service, dialled.outcome, dialled.detail, dialled.cause) };

  const answerOf = ({ outcome, detail }: Verdict): ServiceAnswer => ({
    proof: answered(service, outcome, detail),
  });
  const budgetMs = patience.timeoutMs * Math.max(1, patience.attempts);
  return converse<ServiceAnswer>(
    dialled.socket,
    {
      opening: ask,
      onBytes: (queue) => {
        const verdict = judge(queue.peek(), queue.length > ANSWER_LIMIT);
        if (verdict !== undefined) return answerOf(verdict);
        return queue.length > ANSWER_LIMIT ? answerOf(unknown(queue.peek())) : undefined;
      },
      onEnd: (ending, queue) => {
        if (ending === 'interrupted') return { proof: notAsked(service, INTERRUPTED) };
        if (queue.length > 0) return answerOf(judge(queue.peek(), true) ?? unknown(queue.peek()));
        const how = ending === 'closed' ? 'closed without a word' : 'no answer to the question';
        return { proof: answered(service, 'silent', `connected, then ${how}`) };
      },
    },
    { idleMs: budgetMs, totalMs: budgetMs },
    signal,
  );
}

/** What came is not what the protocol says. */
export function unknown(answer: Uint8Array): Verdict {
  const said = cleanText(textOf(answer.subarray(0, 80)), 60);
  return { outcome: 'other-protocol', detail: `the answer begins: ${said}` };
}
