/** The plan's identity patterns: literal text with `*` for any run of characters, compared without case. */

/** Linear in pattern and text: a pattern of many stars on a long text cannot hang the judge. */
export function globMatches(pattern: string, text: string): boolean {
  const parts = fold(pattern).split('*');
  const subject = fold(text);
  const first = parts[0] ?? '';
  if (parts.length === 1) return subject === first;
  const last = parts[parts.length - 1] ?? '';
  if (!subject.startsWith(first)) return false;
  let from = first.length;
  for (const part of parts.slice(1, -1)) {
    const at = subject.indexOf(part, from);
    if (at < 0) return false;
    from = at + part.length;
  }
  return subject.length - last.length >= from && subject.endsWith(last);
}

function fold(text: string): string {
  return text.trim().toLowerCase();
}
