/**
 * SHA256SUMS: a line a file, 64 hex digits, two blanks, the name. A name with a backslash, a line feed or a carriage return is
 * escaped and its line begins with a backslash (GNU coreutils 9.1 manual, "cksum output modes" and "md5sum invocation").
 */
import { MatchmarkError } from '../errors.js';
import { cleanText } from '../text/clean.js';
import { pathFault } from './file-path.js';
import { byPath, MOST_FILES, type SealedFile, SUMS_NAME } from './manifest.js';

const ESCAPES: ReadonlyMap<string, string> = new Map([
  ['\\', '\\\\'],
  ['\n', '\\n'],
  ['\r', '\\r'],
]);
const PLAIN: ReadonlyMap<string, string> = new Map([...ESCAPES].map(([plain, escaped]) => [escaped, plain]));
/** Text (two blanks) or binary (blank, star): the digest is the same. */
const LINE = /^(\\?)([0-9a-f]{64}) [ *](.+)$/u;

export function writeSums(files: readonly SealedFile[]): string {
  return [...files]
    .sort(byPath)
    .map(({ path, sha256 }) => {
      const name = path.replace(/[\\\n\r]/g, (odd) => ESCAPES.get(odd) ?? odd);
      return `${name === path ? '' : '\\'}${sha256}  ${name}\n`;
    })
    .join('');
}

/** Throws MatchmarkError `result-invalid` naming the first line that is wrong. What a stranger wrote: no name leads out of the folder. */
export function readSums(bytes: Uint8Array, shown: string): SealedFile[] {
  const refuse = (what: string): MatchmarkError =>
    new MatchmarkError('result-invalid', `${cleanText(shown)} is no seal to rely on: ${what}`, {
      next: `Name the folder that "matchmark seal" sealed, with the ${SUMS_NAME} it wrote.`,
    });
  let text: string;
  try {
    text = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch {
    throw refuse('it is no text in UTF-8');
  }
  const lines = text.split('\n');
  if (lines.at(-1) === '') lines.pop();
  if (lines.length === 0) throw refuse('it lists no file');
  if (lines.length > MOST_FILES) throw refuse(`it lists more than ${MOST_FILES} files`);
  const seen = new Set<string>();
  return lines.map((line, at) => {
    const [, mark, sha256, written] = LINE.exec(line) ?? [];
    if (sha256 === undefined || written === undefined)
      throw refuse(`line ${at + 1} is not a SHA-256 in lower-case hex, two blanks and a name`);
    const path = mark === '' ? written : unescaped(written);
    if (path === undefined) throw refuse(`line ${at + 1} has an escape that nobody knows`);
    const fault = pathFault(path);
    if (fault !== undefined) throw refuse(`it lists "${cleanText(path, 120)}", and ${fault}`);
    if (seen.has(path)) throw refuse(`it lists "${cleanText(path, 120)}" twice`);
    seen.add(path);
    return { path, sha256 };
  });
}

function unescaped(written: string): string | undefined {
  if (/\\(?![\\nr])/.test(written.replaceAll('\\\\', ''))) return undefined;
  return written.replace(/\\[\\nr]/g, (pair) => PLAIN.get(pair) ?? pair);
}
