/** One question, one answer, close: the shape of the service proofs that need no session. */
import { cleanText } from '../text/clean.js';
import { textOf } from '../wire/bytes.js';
import { talkLimits } from './bound.js';
import { converse, WORDLESS, wordless } from './exchange.js';
import { overConnection } from './over-connection.js';
import { INTERRUPTED } from './refusal.js';
import { answered, notAsked, type ServiceAnswer, type ServiceTarget } from './service-probe.js';
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

/** The answer may begin up to one patience after the question and take one more. */
export function askService(
  target: ServiceTarget,
  { ask, judge }: ServiceQuestion,
  patience: Patience,
  signal: AbortSignal,
): Promise<ServiceAnswer> {
  const { service } = target;
  const answerOf = ({ outcome, detail }: Verdict): ServiceAnswer => ({
    proof: answered(service, outcome, detail, outcome === 'proven' ? undefined : outcome),
  });
  return overConnection(target, patience, signal, (socket) =>
    converse<ServiceAnswer>(
      socket,
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
          return { proof: answered(service, 'silent', wordless(ending), WORDLESS[ending]) };
        },
      },
      talkLimits(patience),
      signal,
    ),
  );
}

/** What came is not what the protocol says. */
export function unknown(answer: Uint8Array): Verdict {
  const said = cleanText(textOf(answer.subarray(0, 80)), 60);
  return { outcome: 'other-protocol', detail: `the answer begins: ${said}` };
}
