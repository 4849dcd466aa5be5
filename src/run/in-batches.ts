/** First questions of a kind go to one program once many are open. */
import { type Batch, type BatchProgram, createBatch } from '../probe/batch.js';

/**
 * `take` gets what the program told, or `unknown` where none was asked, and asks further where that is needed: until it has, the question is
 * open.
 */
export type InBatches<Answer> = <Outcome>(
  line: string,
  waitMs: number,
  take: (answer: Answer | 'unknown') => Promise<Outcome>,
  signal: AbortSignal,
) => Promise<Outcome>;

/** `programs`: the first of these that may is asked, from more than `few` open questions on. It waits for each as long as for the first. */
export function inBatches<Answer>(programs: readonly BatchProgram<Answer>[], few: number): InBatches<Answer> {
  const untried = [...programs];
  let under: { readonly waitMs: number; readonly batch: Batch<Answer> } | undefined;
  let open = 0;
  return async (line, waitMs, take, signal) => {
    open += 1;
    try {
      if (open > few && (under === undefined || under.batch.over())) {
        const program = untried.shift();
        const process = program?.start(waitMs / 1000);
        if (program !== undefined && process !== undefined)
          under = { waitMs, batch: createBatch(process, program.reader) };
      }
      const answer = under?.waitMs === waitMs ? await under.batch.ask(line, signal) : 'unknown';
      return await take(answer);
    } finally {
      open -= 1;
    }
  };
}
