/** Where a program is, looked up before it is started: what is not there is told as such, and no shell is asked to guess. */
import { accessSync, constants, readdirSync } from 'node:fs';
import path from 'node:path';

export type Found = { readonly path: string } | { readonly why: 'not-found' | 'not-permitted' };

/** What a look-up needs of the machine. */
export interface Files {
  /** Undefined where there is no such file; else whether this user may start it. */
  readonly mayStart: (file: string) => boolean | undefined;
  /** Names in a folder; none where it cannot be read. */
  readonly names: (folder: string) => readonly string[];
}

interface Where {
  readonly platform: string;
  readonly env: Readonly<Record<string, string | undefined>>;
  readonly files: Files;
}

/** Some systems keep network programs where an ordinary user's PATH does not look. */
export const EXTRA_FOLDERS = ['/usr/sbin', '/sbin', '/usr/local/sbin', '/opt/homebrew/bin'];
/** Of PATHEXT, those that run by themselves: the rest (`.cmd`, `.bat`, `.vbs`) is text for a shell. */
const RUNNABLE = ['.com', '.exe'];
/** Folders of programs that are looked through. */
const PROGRAM_FOLDERS = 500;

/** Never the current folder: a program that lies beside somebody's plan is not the system's. */
export function findProgram(command: string, { platform, env, files }: Where): Found {
  const places = platform === 'win32' ? windowsPlaces(command, env, files) : posixPlaces(command, env);
  let forbidden = false;
  for (const place of places) {
    const may = files.mayStart(place);
    if (may === true) return { path: place };
    forbidden ||= may === false;
  }
  return { why: forbidden ? 'not-permitted' : 'not-found' };
}

function posixPlaces(command: string, env: Where['env']): readonly string[] {
  if (command.includes('/')) return [command];
  const folders = [...(env.PATH ?? '').split(':'), ...EXTRA_FOLDERS].filter((folder) =>
    folder.startsWith('/'),
  );
  return folders.map((folder) => path.posix.join(folder, command));
}

function* windowsPlaces(command: string, env: Where['env'], files: Files): Generator<string> {
  const { win32 } = path;
  const endings = endingsOf(command, value(env, 'PATHEXT'));
  if (/[\\/]/.test(command)) {
    for (const ending of endings) yield command + ending;
    return;
  }
  const root = value(env, 'SystemRoot') ?? 'C:\\Windows';
  const folders = [
    win32.join(root, 'System32'),
    win32.join(root, 'System32', 'WindowsPowerShell', 'v1.0'),
    ...(value(env, 'PATH') ?? '').split(';').map((folder) => folder.replace(/^"|"$/g, '')),
  ];
  for (const folder of folders) {
    // A relative folder would be one of the current folder.
    if (win32.isAbsolute(folder)) for (const ending of endings) yield win32.join(folder, command + ending);
  }
  // Installers of capture programs do not put themselves on the PATH: one folder below where programs are installed.
  const homes = ['ProgramFiles', 'ProgramW6432', 'ProgramFiles(x86)'].flatMap(
    (name) => value(env, name) ?? [],
  );
  for (const home of new Set(homes))
    for (const name of files.names(home).slice(0, PROGRAM_FOLDERS))
      for (const ending of endings) yield win32.join(home, name, command + ending);
}

function endingsOf(command: string, pathExtensions: string | undefined): readonly string[] {
  if (RUNNABLE.includes(path.win32.extname(command).toLowerCase())) return [''];
  const allowed = (pathExtensions ?? RUNNABLE.join(';')).toLowerCase().split(';');
  return RUNNABLE.filter((ending) => allowed.includes(ending));
}

/** Names of variables differ in case only by accident there (`Path`). */
function value(env: Where['env'], name: string): string | undefined {
  const key = Object.keys(env).find((each) => each.toLowerCase() === name.toLowerCase());
  return key === undefined || env[key] === '' ? undefined : env[key];
}

const HERE: Files = {
  mayStart: (file) => {
    try {
      accessSync(file, constants.F_OK);
    } catch {
      return undefined;
    }
    try {
      accessSync(file, constants.X_OK);
      return true;
    } catch {
      return false;
    }
  },
  names: (folder) => {
    try {
      return readdirSync(folder);
    } catch {
      return [];
    }
  },
};

const known = new Map<string, string>();

/** On this machine. What was found once is not looked for again. */
export function findHere(command: string): Found {
  const { env, platform } = process;
  const key = `${env.PATH ?? env.Path ?? ''}\n${command}`;
  const before = known.get(key);
  if (before !== undefined) return { path: before };
  const found = findProgram(command, { platform, env, files: HERE });
  if ('path' in found) known.set(key, found.path);
  return found;
}
