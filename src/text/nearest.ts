/** The nearest fitting word for a misspelt one, where one is near enough to be worth saying. */
import { distance } from 'fastest-levenshtein';

/** Words compared, in characters: one edit makes anything of a shorter one, and nobody misspells a longer one. */
const SHORTEST = 3;
const LONGEST = 80;

/**
 * The candidate with the fewest edits from `word`, compared without case. Undefined where none is within a third of the length
 * (at least one edit, at most three), or where two different candidates are equally near.
 */
export function nearestWord(word: string, candidates: Iterable<string>): string | undefined {
  const wanted = word.trim().toLowerCase();
  if (wanted.length < SHORTEST || wanted.length > LONGEST) return undefined;
  let best: string | undefined;
  let bestDistance = Number.POSITIVE_INFINITY;
  let tied = false;
  for (const candidate of candidates) {
    const edits = distance(wanted, candidate.toLowerCase());
    if (edits < bestDistance) {
      best = candidate;
      bestDistance = edits;
      tied = false;
    } else if (edits === bestDistance && candidate !== best) tied = true;
  }
  const allowed = Math.min(3, Math.max(1, Math.floor(wanted.length / 3)));
  return tied || bestDistance > allowed ? undefined : best;
}
