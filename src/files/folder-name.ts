/**
 * Names that Windows takes for something else, found before anything is done (learn.microsoft.com, "Naming Files, Paths, and Namespaces"):
 * a folder `nul` would swallow a run, and `what?` fails with words that help nobody.
 */
import path from 'node:path';

/** Devices, with any ending: `NUL`, `com1.txt`. The last three of COM and LPT are superscript digits. */
const DEVICE = /^(?:con|prn|aux|nul|(?:com|lpt)[1-9¹²³])(?:\.|$)/i;
const FORBIDDEN = /[<>:"|?*\u0000-\u001f]/;

/** What is wrong with this place as a folder or file on Windows, or undefined where nothing is, and elsewhere. */
export function notOnWindows(place: string, platform: string): string | undefined {
  if (platform !== 'win32') return undefined;
  const { root } = path.win32.parse(place);
  for (const name of place.slice(root.length).split(/[\\/]/)) {
    if (name === '' || name === '.' || name === '..') continue;
    const mark = FORBIDDEN.exec(name)?.[0];
    if (mark !== undefined)
      return `on Windows no name may have ${mark < ' ' ? 'such a character' : mark} in it`;
    if (DEVICE.test(name)) return `"${name}" is a device on Windows, and no folder can be called so`;
    if (/[. ]$/.test(name))
      return `on Windows no name may end with a ${name.endsWith('.') ? 'dot' : 'blank'}`;
  }
  return undefined;
}
