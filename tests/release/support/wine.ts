/** Runs Windows programs under Wine, in a prefix of the test's own. */
import { spawn, spawnSync } from 'node:child_process';
import { closeSync, existsSync, mkdirSync, mkdtempSync, openSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
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
  stop(): void;
}

export function startWine(): Windows {
  if (loader === undefined || server === undefined) throw new Error(wineMissing);
  const home = mkdtempSync(path.join(tmpdir(), 'matchmark-wine-'));
  const prefix = path.join(home, 'prefix');
  // Neither a browser nor another run time is asked for: their absence would open windows.
  const env = {
    PATH: '/usr/bin:/bin:/usr/lib/wine',
    HOME: home,
    LANG: 'C.UTF-8',
    WINEPREFIX: prefix,
    WINEDEBUG: '-all',
    WINEDLLOVERRIDES: 'mscoree=;mshtml=',
    WINESERVER: server,
  };
  let runs = 0;
  /** Wine takes a file for a plain handle where a pipe may be taken for a console. */
  const outputs = (): readonly [string, string] => {
    runs += 1;
    return [path.join(home, `${runs}.out`), path.join(home, `${runs}.err`)];
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
  mkdirSync(prefix);
  const boot = run('wineboot', ['-i'], home);
  if (boot.status !== 0) throw new Error(`wineboot ended with ${boot.status}: ${boot.err}`);
  run('reg', ['add', 'HKCU\\Software\\Wine', '/v', 'Version', '/d', 'win10', '/f'], home);
  return {
    driveC: path.join(prefix, 'drive_c'),
    run,
    start,
    stop: () => {
      // Ends what runs in this prefix, and nothing else.
      spawnSync(server, ['-k'], { env });
      spawnSync(server, ['-w'], { env, timeout: 20_000 });
      rmSync(home, { recursive: true, force: true });
    },
  };
}
