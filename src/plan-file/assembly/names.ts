/** Names of a kind, for messages. */

const SHOWN = 8;

/** `it has a, b and 3 more`. Undefined where there is none. */
export function namesList(names: readonly string[]): string | undefined {
  if (names.length === 0) return undefined;
  const shown = names.slice(0, SHOWN).join(', ');
  return names.length > SHOWN ? `it has ${shown} and ${names.length - SHOWN} more` : `it has ${shown}`;
}
