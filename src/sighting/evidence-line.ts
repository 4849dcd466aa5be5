/**
 * One line of evidence: what was seen, by whom and when. Who and when stay apart from the words, so that a screen that has said them
 * already leaves them out and nobody has to cut them off a sentence.
 */
import { z } from 'zod';
import type { Evidence } from './evidence.js';

export const seenLineSchema = z
  .object({
    /** Name of the vantage, or of the person who looked. */
    who: z.string().optional(),
    /** Start of that look, or when the person wrote it down. */
    at: z.string().optional(),
    /** Empty where who and when are all there is to tell. */
    text: z.string(),
    /** The finding's message says it already. */
    told: z.literal(true).optional(),
  })
  .readonly();
export type SeenLine = z.infer<typeof seenLineSchema>;

/** A bare text is of nobody in particular: a row of the plan, a sum. */
export type EvidenceLine = string | SeenLine;

export function seenLine(
  { vantage, startedAt }: Pick<Evidence, 'vantage' | 'startedAt'>,
  text: string,
): SeenLine {
  return { who: vantage.name, at: startedAt, text };
}

/** The message of the finding says it already: a screen that shows both leaves it out. */
export function toldLine(line: EvidenceLine): SeenLine {
  return { ...(typeof line === 'string' ? { text: line } : line), told: true };
}

/** `bench, 2026-01-05T09:00:00.000Z: 192.0.2.11 is at 00:00:5e:00:53:01`. */
export function sayLine(line: EvidenceLine): string {
  if (typeof line === 'string') return line;
  const from = [line.who, line.at].filter((part) => part !== undefined && part !== '').join(', ');
  return [from, line.text].filter((part) => part !== '').join(': ');
}
