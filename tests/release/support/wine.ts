/** Runs Windows programs under Wine, in a Windows that the tests of the release share. */
import { spawn, spawnSync } from 'node:child_process';
import { closeSync, existsSync, mkdirSync, openSync, readFileSync } from 'node:fs';
import path from 'node:path';
import type { Ran } from './run.js';

/** Debian's package wine64 alone puts nothing on the path. */
const FOLDERS = ['/usr/bin', '/usr/lib/wine'];
const found = (names: readonly string[]): string | undefined =>
  FOLDERS.flatMap((folder) => names.map((name) => path.join(folder, name))).find((file) => existsSync(file));
const loader = found(['wine64']);
const server = found(['wineserver64', 'wineserver']);

/** Undefined where Windows programs can be run; else the reason, for a loud skip. */
export const wineMissing =
  loader === undefined || server === undefined
    ? 'no wine64 on this laptop ("sh .ci/setup" installs it): the Windows program was NOT run'
    : undefined;

export interface Windows {
  /** Where drive C: lies on this laptop. */
  readonly driveC: string;
  /** `program` and `args` as Windows reads them; `cwd` below drive C:, as this laptop reads it. */
  run(program: string, args: readonly string[], cwd: string): Ran;
  /** The same, without waiting. Resolves once `marker` stands in what it wrote. */
  start(program: string, args: readonly string[], cwd: string, marker: string): Promise<() => Promise<void>>;
}

/** Neither a browser nor another run time is asked for: their absence would open windows. */
function environment(home: string): NodeJS.ProcessEnv {
  return {
    PATH: '/usr/bin:/bin:/usr/lib/wine',
    HOME: home,
    LANG: 'C.UTF-8',
    WINEPREFIX: path.join(home, 'prefix'),
    WINEDEBUG: '-all',
    WINEDLLOVERRIDES: 'mscoree=;mshtml=;winemenubuilder.exe=',
    WINESERVER: server,
  };
}

/** Makes drive C: below `home`, an empty folder, with a Windows 10 on it. Does nothing where this laptop has no Wine. */
export async function installWindows(home: string): Promise<void> {
  if (loader === undefined) return;
  mkdirSync(path.join(home, 'prefix'));
  const asked = { cwd: home, env: environment(home), timeout: 120_000 };
  // To no pipe: what Wine leaves running would hold it open.
  const wine = (...args: string[]): Promise<void> =>
    new Promise((resolve, reject) => {
      spawn(loader, args, { ...asked, stdio: 'ignore' })
        .once('error', reject)
        .once('exit', (status) =>
          status === 0 ? resolve() : reject(new Error(`${args[0]} under Wine ended with ${status}`)),
        );
    });
  await wine('wineboot', '-i');
  await wine('reg', 'add', 'HKCU\\Software\\Wine', '/v', 'Version', '/d', 'win10', '/f');
}

/** Ends what runs in the Windows of this home, and nothing else. */
export function stopWindows(home: string): void {
  if (server === undefined) return;
  spawnSync(server, ['-k'], { env: environment(home) });
  spawnSync(server, ['-w'], { env: environment(home), timeout: 20_000 });
}

/** The Windows that `installWindows` made in this home. */
export function windowsOf(home: string): Windows {
  if (loader === undefined) throw new Error(wineMissing);
  const env = environment(home);
  let runs = 0;
  /** Wine takes a file for a plain handle where a pipe may be taken for a console. */
  const outputs = (): readonly [string, string] => {
    runs += 1;
    return [path.join(home, `${process.pid}-${runs}.out`), path.join(home, `${process.pid}-${runs}.err`)];
  };
  const run: Windows['run'] = (program, args, cwd) => {
    const files = outputs();
    const [out, err] = files.map((file) => openSync(file, 'w'));
    const { status, error } = spawnSync(loader, [program, ...args], {
      cwd,
      env,
      stdio: ['ignore', out, err],
      timeout: 90_000,
    });
    for (const opened of [out, err]) if (opened !== undefined) closeSync(opened);
    if (error !== undefined) throw error;
    const [written = '', said = ''] = files.map((file) => readFileSync(file, 'utf8'));
    return { status, out: written, err: said };
  };
  const start: Windows['start'] = async (program, args, cwd, marker) => {
    const [file] = outputs();
    const opened = openSync(file, 'w');
    const child = spawn(loader, [program, ...args], { cwd, env, stdio: ['ignore', opened, opened] });
    const ended = new Promise<void>((resolve) => child.once('exit', () => resolve()));
    closeSync(opened);
    for (let waited = 0; !readFileSync(file, 'utf8').includes(marker); waited += 1) {
      if (waited > 300 || child.exitCode !== null)
        throw new Error(`${program} did not start: ${readFileSync(file, 'utf8')}`);
      await new Promise((resolve) => setTimeout(resolve, 100));
    }
    return () => ended;
  };
  return { driveC: path.join(env.WINEPREFIX ?? '', 'drive_c'), run, start };
}
