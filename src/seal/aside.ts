/** Files that systems put into folders by themselves: listed, never sealed, never a fault. (What runs leave behind is passed over.) */

const BY_SYSTEM: ReadonlyMap<string, string> = new Map([
  ['.ds_store', 'the file manager of macOS keeps it'],
  ['thumbs.db', 'the file manager of Windows keeps it'],
  ['desktop.ini', 'the file manager of Windows keeps it'],
]);

/** Why a file is left aside; undefined where it is part of the handover. */
export function asideReason(path: string): string | undefined {
  const name = path.slice(path.lastIndexOf('/') + 1);
  return BY_SYSTEM.get(name.toLowerCase());
}
