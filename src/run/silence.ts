/**
 * How many questions stay unanswered before silence is told. Pure.
 *
 * Each question to a device that is there is lost, or its answer is, with one unknown chance for the run. What is known of that chance
 * are the questions that were answered in the end, and the tries before that were not. With every chance as likely as every other
 * beforehand, what is known of it afterwards is a Beta distribution (Bayes 1763; the rule of succession is its mean), and the chance that
 * the next m questions to a device that is there are all lost is the Beta-binomial product
 *     (lost+1)(lost+2)...(lost+m) / (all+2)(all+3)...(all+m+1)
 * with all = answered + lost. It holds the doubt about the loss as well as the loss: where few answered it stays large. (The rule of
 * three, 3/n at 95 %, Hanley and Lippman-Hand 1983, gives the same order of size for lost = 0.)
 */

export interface LossCount {
  /** Questions to those present that were answered, at the first try or later. */
  readonly answered: number;
  /** Tries of them that were not. */
  readonly lost: number;
}

/** DESIGN 5: a false `missing` is rarer than one in a million. */
export const RARE = 1e-6;
/** Never fewer, however sure the network seems: one burst of other traffic takes two questions that follow each other (common practice, no source). */
export const FEWEST = 3;
/** A network that needs more loses so much that nobody would work on it. */
export const MOST = 48;

/** Chance that somebody who is there leaves this many questions unanswered. */
export function missChance({ answered, lost }: LossCount, asked: number): number {
  let chance = 1;
  for (let question = 0; question < asked; question += 1)
    chance *= (lost + 1 + question) / (answered + lost + 2 + question);
  return chance;
}

/**
 * The fewest questions that make a false silence rare enough. Where nothing was lost and too few are there to know,
 * `usual` is as many as are put.
 */
export function questionsBeforeSilence(count: LossCount, usual: number): number {
  const most = count.lost === 0 ? Math.max(FEWEST, usual) : MOST;
  let asked = FEWEST;
  while (asked < most && missChance(count, asked) > RARE) asked += 1;
  return asked;
}

/** What a run has learnt of its loss so far. */
export interface LossCounter {
  /** A question was answered at this try, counted from 1. */
  answeredAt(tries: number): void;
  /** Of so many single questions to somebody who is there, so many were answered. */
  share(sent: number, received: number): void;
  /** How many questions to put before silence is told; `usual` where too few are there to know. */
  needed(usual: number): number;
  missChance(asked: number): number;
  count(): LossCount;
}

/** `onAnswer`: told each time a question was answered. */
export function createLossCounter(onAnswer: () => void = () => {}): LossCounter {
  let answered = 0;
  let lost = 0;
  const count = (): LossCount => ({ answered, lost });
  return {
    answeredAt: (tries) => {
      onAnswer();
      answered += 1;
      lost += Math.max(0, tries - 1);
    },
    share: (sent, received) => {
      answered += received;
      lost += Math.max(0, sent - received);
    },
    needed: (usual) => questionsBeforeSilence(count(), usual),
    missChance: (asked) => missChance(count(), asked),
    count,
  };
}
