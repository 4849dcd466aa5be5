/** The code page that the programs of this console write in, asked once and only where something is not readable without it. */
import { findHere } from '../find-program.js';
import { startGroup } from '../process-group.js';
import { codePageOf, isUtf8 } from './console-text.js';

const TIMEOUT_MS = 3000;

let asked: Promise<number | undefined> | undefined;

/** Undefined for bytes that are UTF-8 (or ASCII) as they are, or where nobody tells. */
export async function consoleCodePage(bytes: Uint8Array): Promise<number | undefined> {
  if (isUtf8(bytes)) return undefined;
  asked ??= readCodePage();
  return asked;
}

/** `chcp` tells what the console is set to; without a console, the registry tells what one would be set to. */
async function readCodePage(): Promise<number | undefined> {
  const told = codePageOf(await output('chcp', []));
  return (
    told ??
    codePageOf(
      await output('reg', [
        'query',
        'HKLM\\SYSTEM\\CurrentControlSet\\Control\\Nls\\CodePage',
        '/v',
        'OEMCP',
      ]),
    )
  );
}

/** Not by programs.ts, which decodes by what is asked for here. Both print digits last, which are the same in every code page. */
async function output(command: string, args: readonly string[]): Promise<string> {
  const found = findHere(command);
  if (!('path' in found)) return '';
  try {
    const started = startGroup(found.path, args, { env: process.env, input: false, watch: false });
    const chunks: Uint8Array[] = [];
    started.child.stdout?.on('data', (chunk: Uint8Array) => chunks.push(chunk));
    const timer = setTimeout(() => started.end(), TIMEOUT_MS);
    await Promise.race([started.ended, started.failed]);
    clearTimeout(timer);
    return Buffer.concat(chunks).toString('latin1');
  } catch {
    return '';
  }
}
