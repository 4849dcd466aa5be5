/** Small parts of English sentences: counts, plurals, lists. */

const collator = new Intl.Collator('en', { numeric: true, sensitivity: 'base' });

/** `vault-2` before `vault-10`. Falls back to code units so that the order is total. */
export function naturalOrder(a: string, b: string): number {
  return collator.compare(a, b) || (a < b ? -1 : a > b ? 1 : 0);
}

export function plural(amount: number, one: string, many: string = `${one}s`): string {
  return amount === 1 ? one : many;
}

/** `1 row`, `2 rows`, `0 addresses`. */
export function count(amount: number, one: string, many?: string): string {
  return `${amount} ${plural(amount, one, many)}`;
}

/** `a`, `a and b`, `a, b and c`; past `limit` items `a, b and 5 others`. */
export function list(items: readonly string[], limit: number = 8, joint: 'and' | 'or' = 'and'): string {
  const shown = items.length > limit ? items.slice(0, Math.max(1, limit - 1)) : items;
  const hidden = items.length - shown.length;
  const parts = hidden === 0 ? shown : [...shown, `${hidden} ${plural(hidden, 'other')}`];
  if (parts.length < 2) return parts[0] ?? 'none';
  return `${parts.slice(0, -1).join(', ')} ${joint} ${parts.at(-1)}`;
}

/** `mgmt (192.0.2.0/24)`; a network that is called by its range is named once. */
export function withRange(name: string, cidr: string | undefined): string {
  return cidr === undefined || cidr === name ? name : `${name} (${cidr})`;
}

/** First letter large; the rest as it is. Names stay as they are: `loft-switch-1`, `vault-1/A`, and `name`, where the text begins with it. */
export function capital(text: string, name?: string): string {
  if (/^\S*[\d/_]/.test(text) || (name !== undefined && text.startsWith(`${name} `))) return text;
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** With a full stop, unless it ends already. */
export function ended(text: string): string {
  return /[.!?]$/.test(text) ? text : `${text}.`;
}

/** A name of several words as people write it: `switch-port` -> `switch port`. */
export function inWords(name: string): string {
  return name.replaceAll('-', ' ');
}
