/** `Steady green.` is `green, steady`: case, punctuation and the order of words play no part, every word does. */
export function textAgrees(a: string, b: string): boolean {
  return words(a).join(' ') === words(b).join(' ');
}

function words(text: string): string[] {
  return (
    text
      .normalize('NFKC')
      .toLowerCase()
      .match(/[\p{L}\p{N}]+/gu) ?? []
  ).sort();
}

/** Equal but for case and white space: for names of subjects and items. */
export function sameName(a: string, b: string): boolean {
  return fold(a) === fold(b);
}

function fold(text: string): string {
  return text.normalize('NFKC').trim().toLowerCase().replace(/\s+/g, ' ');
}
