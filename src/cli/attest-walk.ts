/** The walk through what is open, on a terminal: a line of standard input for each question. */
import { createInterface } from 'node:readline';
import type { ObservationItem } from '../attest/open-items.js';
import { type Answer, WALK_HELP, walkThrough } from '../attest/walk.js';
import { cleanText } from '../text/clean.js';
import { count } from '../text/sentence.js';
import type { CliDeps } from './common.js';

export interface Walked {
  /** Undefined where nobody gave a name: then nothing is recorded. */
  readonly by: string | undefined;
  readonly answers: readonly Answer[];
}

/** `onAnswer` is done with each answer before the next question is put. Ends with the last question, with `q`, at the end of input, or when the run is interrupted. What was said stays. */
export async function walkOnTerminal(
  items: readonly ObservationItem[],
  given: string | undefined,
  deps: CliDeps,
  onAnswer: (answer: Answer, by: string) => Promise<void> = async () => {},
): Promise<Walked> {
  const input = deps.stdin ?? process.stdin;
  const lines = createInterface({ input, terminal: false });
  const stop = (): void => lines.close();
  deps.signal.addEventListener('abort', stop, { once: true });
  const { stdout } = deps;
  const walk = walkThrough(items);
  let by = given === undefined || given.trim() === '' ? undefined : cleanText(given);
  const ask = (): boolean => {
    const question = by === undefined ? 'Your name, for the record: ' : walk.question();
    if (question !== undefined) stdout.write(question);
    return question !== undefined;
  };
  try {
    stdout.write(`${count(items.length, 'thing')} to look at, in the order of the visit.\n${WALK_HELP}\n`);
    if (!deps.signal.aborted && ask())
      for await (const line of lines) {
        if (by !== undefined) {
          const before = new Set(walk.answers());
          const told = walk.answer(line);
          for (const answer of walk.answers()) if (!before.has(answer)) await onAnswer(answer, by);
          if (told !== undefined) stdout.write(`${told}\n`);
        } else if (/^(?:q|quit)$/i.test(line.trim())) break;
        else if (line.trim() !== '') by = cleanText(line);
        if (!ask()) break;
      }
    stdout.write('\n');
    return { by, answers: walk.answers() };
  } finally {
    deps.signal.removeEventListener('abort', stop);
    lines.close();
    input.pause();
  }
}
