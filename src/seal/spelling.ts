/** The same file under the name that another system gives it: letter case, composed and decomposed letters, names Windows refuses. */
import { count } from '../text/sentence.js';

/** Alike where a system takes two names for one: Windows and macOS ignore case, macOS may hand back decomposed letters (Unicode NFD). */
export function foldName(path: string): string {
  return path.normalize('NFC').toLowerCase().normalize('NFC');
}

/** Microsoft Learn, "Naming Files, Paths, and Namespaces": reserved device names, with or without an extension. */
const RESERVED = /^(?:con|prn|aux|nul|conin\$|conout\$|com[0-9¹²³]|lpt[0-9¹²³])(?:\..*)?$/i;
/** The same page: characters, and a dot or a blank at the end. */
const REFUSED = /[<>:"|?*\\\p{Cc}]|[. ]$/u;

export interface NameTrouble {
  readonly paths: readonly string[];
  readonly kind: 'same-elsewhere' | 'refused-elsewhere';
}

/** Files that would not arrive on another system as they are here. */
export function nameTroubles(paths: readonly string[]): NameTrouble[] {
  const alike = new Map<string, string[]>();
  for (const path of paths) {
    const name = foldName(path);
    const group = alike.get(name);
    if (group === undefined) alike.set(name, [path]);
    else group.push(path);
  }
  const same = [...alike.values()]
    .filter((each) => each.length > 1)
    .map((each): NameTrouble => ({ paths: each, kind: 'same-elsewhere' }));
  const refused = paths.filter((path) =>
    path.split('/').some((part) => RESERVED.test(part) || REFUSED.test(part)),
  );
  return refused.length === 0 ? same : [...same, { paths: refused, kind: 'refused-elsewhere' }];
}

export function troubleText({ paths, kind }: NameTrouble): string {
  return kind === 'same-elsewhere'
    ? `${paths.join(' and ')} are one name on Windows and macOS: only one of them would be kept there.`
    : `${count(paths.length, 'name')} that Windows refuses: ${paths.join(', ')}.`;
}
