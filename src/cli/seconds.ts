import { MatchmarkError } from '../errors.js';

/** An option that is a number of seconds, 0 to a day. */
export function secondsOf(text: string): number {
  const seconds = Number(text);
  if (Number.isFinite(seconds) && seconds >= 0 && seconds <= 86_400) return seconds;
  throw new MatchmarkError('usage', `"${text}" is no number of seconds`, {
    next: 'Give seconds from 0 to 86400.',
  });
}
