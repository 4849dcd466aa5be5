/** Observations and attestations by what they are about, so that a site of thousands is gone through once. */
import { foldName } from './text-agrees.js';

interface About {
  readonly subject: string;
}

const INDEXES = new WeakMap<readonly About[], ReadonlyMap<string, readonly About[]>>();

/** Those of `list` whose subject is one of these, in the order of the subjects. Indexed once for each list. */
export function aboutSubjects<One extends About>(list: readonly One[], subjects: readonly string[]): One[] {
  let index = INDEXES.get(list) as ReadonlyMap<string, readonly One[]> | undefined;
  if (index === undefined) {
    const made = new Map<string, One[]>();
    for (const one of list) {
      const key = foldName(one.subject);
      const known = made.get(key);
      if (known === undefined) made.set(key, [one]);
      else known.push(one);
    }
    INDEXES.set(list, made);
    index = made;
  }
  return [...new Set(subjects.map(foldName))].flatMap((subject) => index.get(subject) ?? []);
}
