/** How long one question over a connection may take: longer where much gets lost, and no longer than the share of its device. */
import type { Patience } from '../probe/types.js';
import type { AskContext } from './ask-context.js';
import type { Release } from './slots.js';

/** Losses above this share leave an accepted connection waiting for its words: then it gets twice the time. */
const LOSSY = 0.05;

/** How many times as long as usual everything over a connection may take: TCP repeats what gets lost. */
export function slowness({ losses }: Pick<AskContext, 'losses'>): number {
  const { answered, lost } = losses.count();
  return lost > LOSSY * (answered + lost) ? 2 : 1;
}

export function patienceFor(patience: Patience, context: Pick<AskContext, 'losses'>): Patience {
  return { ...patience, timeoutMs: patience.timeoutMs * slowness(context) };
}

/** A look beside the proof of a service; undefined, and nothing sent, where the time of the device is used up. */
export async function askWithin<Answer>(
  device: string,
  context: AskContext,
  ask: (patience: Patience) => Promise<Answer>,
  isVain: (answer: Answer) => boolean,
): Promise<Answer | undefined> {
  const { shares, patiences } = context;
  const share = shares.begin(device, patienceFor(patiences.proof, context), slowness(context));
  if (share === undefined) return undefined;
  share.talks();
  const beganMs = performance.now();
  const answer = await ask(share.patience);
  share.end(isVain(answer) && performance.now() - beganMs >= 0.9 * share.patience.timeoutMs);
  return answer;
}

/**
 * What is silent is no load on the device, and its place is needed for others: given back after half its patience, and after that of a
 * connection where nothing of the device has answered yet. The caller says when it is over.
 */
export function releaseInSilence(
  device: string,
  release: Release,
  timeoutMs: number,
  { shares, patiences }: Pick<AskContext, 'shares' | 'patiences'>,
): { end(): void } {
  const usualMs = timeoutMs / 2;
  const firstMs = Math.min(usualMs, patiences.connect.timeoutMs);
  let timer = setTimeout(() => {
    if (shares.silent.isSilent(device)) release();
    else timer = setTimeout(release, usualMs - firstMs);
  }, firstMs);
  return { end: () => clearTimeout(timer) };
}
