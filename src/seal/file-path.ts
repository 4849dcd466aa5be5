/** Which paths may stand in a seal: below the folder, and nothing else. */

/** Octets of a path in UTF-8; Linux takes 4,096 with the folder before it. */
const LONGEST_PATH = 3_072;
const DEEPEST = 64;

/** Why a path can not stand in a seal; undefined where it can. A backslash leads on as `/` does on some systems. */
export function pathFault(path: string): string | undefined {
  if (path === '') return 'it is empty';
  if (Buffer.byteLength(path) > LONGEST_PATH) return 'it is too long';
  if (/[\p{Cs}\ufffd\0]/u.test(path)) return 'its name is no text';
  if (/^[/\\]/.test(path) || /^[a-z]:[/\\]/i.test(path)) return 'it is not relative to the folder';
  if (path.split('/').length > DEEPEST) return 'it lies too deep';
  if (path.split(/[/\\]/).some((part) => part === '.' || part === '..') || path.split('/').includes(''))
    return 'it leads around';
  return undefined;
}
