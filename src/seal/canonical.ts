/** JSON in one form only, so that it can be signed: RFC 8785. Numbers and strings are written as ECMAScript writes them (§3.2.2). */

/** Keys by UTF-16 code units (RFC 8785 §3.2.3), no white space (§3.2.1). Absent values (`undefined`) are left out. */
export function canonicalJson(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(canonicalJson).join(',')}]`;
  if (typeof value !== 'object' || value === null) return JSON.stringify(value);
  const members = Object.entries(value)
    .filter(([, member]) => member !== undefined)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([key, member]) => `${JSON.stringify(key)}:${canonicalJson(member)}`);
  return `{${members.join(',')}}`;
}
