/** Files that come and go by themselves: listed, never sealed, never a fault. */

const BY_SYSTEM: ReadonlyMap<string, string> = new Map([
  ['.ds_store', 'the file manager of macOS keeps it'],
  ['thumbs.db', 'the file manager of Windows keeps it'],
  ['desktop.ini', 'the file manager of Windows keeps it'],
]);

/** Names under which this program writes before it renames, and what a run keeps beside its result (src/files). */
const LEFT_OVER = /^\.matchmark-|\.part-\d+$/i;

/** Why a file is left aside; undefined where it is part of the handover. */
export function asideReason(path: string): string | undefined {
  const name = path.slice(path.lastIndexOf('/') + 1);
  return (
    BY_SYSTEM.get(name.toLowerCase()) ??
    (LEFT_OVER.test(name) ? 'left over from a run that was ended' : undefined)
  );
}
