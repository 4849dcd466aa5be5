/** Which paths may stand in a seal: the same file on every system, below the folder, and nothing else. */

/** Octets of a path in UTF-8; Linux takes 4,096 with the folder before it. */
const LONGEST_PATH = 3_072;
const DEEPEST = 64;

/** Why a path can not stand in a seal; undefined where it can. */
export function pathFault(path: string): string | undefined {
  if (path === '') return 'it is empty';
  if (Buffer.byteLength(path) > LONGEST_PATH) return 'it is too long';
  if (/\p{Cc}/u.test(path)) return 'it has control characters in its name';
  if (/[\p{Cs}\ufffd]/u.test(path)) return 'its name is no text';
  if (path.includes('\\')) return 'a "\\" in its name means a folder on some systems';
  if (path.startsWith('/') || /^[a-z]:/i.test(path)) return 'it is not relative to the folder';
  const parts = path.split('/');
  if (parts.length > DEEPEST) return 'it lies too deep';
  if (parts.some((part) => part === '' || part === '.' || part === '..')) return 'it leads around';
  return undefined;
}
