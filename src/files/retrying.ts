/** Renaming and deleting where another program holds the file for a moment: a virus scanner, an indexer, a preview. */
import { setTimeout as sleep } from 'node:timers/promises';

/** Some seconds: scanners are done by then, people are not. */
const TRIES = 12;
const PAUSE_MS = 250;
/** Windows answers with the first two for a file that is open elsewhere; sockets of a run that close free the last two. */
const PASSING = new Set(['EPERM', 'EACCES', 'EBUSY', 'EMFILE', 'ENFILE']);

/** Does it, again and again for three seconds while it fails for a reason that may pass. Throws what it threw last. */
export async function retrying<T>(
  work: () => Promise<T>,
  { tries = TRIES, pauseMs = PAUSE_MS }: { readonly tries?: number; readonly pauseMs?: number } = {},
): Promise<T> {
  for (let tried = 1; ; tried += 1) {
    try {
      return await work();
    } catch (error) {
      if (tried >= tries || !mayPass(error)) throw error;
      await sleep(pauseMs);
    }
  }
}

function mayPass(error: unknown): boolean {
  return PASSING.has((error as NodeJS.ErrnoException).code ?? '');
}

/** What usually holds a file of this kind open. */
const HOLDERS: readonly (readonly [RegExp, string])[] = [
  [/\.(?:csv|xlsx)$/i, 'the spreadsheet program'],
  [/\.html?$/i, 'the browser or the viewer'],
  [/\.(?:json|ya?ml|txt|md)$/i, 'the editor'],
];

/** Which program to close, where a file stayed held on Windows or too many are open; undefined where the failure is another. */
export function whatToClose(error: unknown, file: string, platform: string): string | undefined {
  const code = (error as NodeJS.ErrnoException).code ?? '';
  if (code === 'EMFILE' || code === 'ENFILE')
    return 'Let more files be open (ulimit -n 1024) or close other programs, then run it again.';
  if (platform !== 'win32' || !['EPERM', 'EACCES', 'EBUSY'].includes(code)) return undefined;
  const holder = HOLDERS.find(([pattern]) => pattern.test(file))?.[1] ?? 'the program';
  return `Another program seems to hold ${file} open. Close ${holder} that shows it, then run it again; or name another folder with --out DIR.`;
}
