import type { ProgramResult } from '../probe/types.js';
import type { VantageRoute } from '../sighting/types.js';
import { parseIpRoute } from './parse-ip-json.js';
import { parseNetstat } from './parse-netstat.js';
import { parseProcIpv6Route, parseProcRoute } from './parse-proc-route.js';
import { parseRoutePrint } from './parse-route-print.js';
import { parseWindowsRoutes, WINDOWS_ROUTES } from './parse-windows.js';
import { powershell } from './powershell.js';
import type { VantageDeps } from './read.js';

export const PROGRAM_TIMEOUT_MS = 5000;

export interface RoutesRead {
  readonly routes: readonly VantageRoute[];
  /** Why the routes are not known. */
  readonly unknown?: string | undefined;
}

export function readRoutes(deps: VantageDeps): Promise<RoutesRead> {
  return (READERS[deps.platform] ?? linuxRoutes)(deps);
}

const READERS: Readonly<Record<string, (deps: VantageDeps) => Promise<RoutesRead>>> = {
  linux: linuxRoutes,
  darwin: macosRoutes,
  win32: windowsRoutes,
};

async function linuxRoutes({ programs, readText }: VantageDeps): Promise<RoutesRead> {
  const [ipv4, ipv6] = await Promise.all([
    programs.run('ip', ['-j', 'route'], { timeoutMs: PROGRAM_TIMEOUT_MS }),
    programs.run('ip', ['-j', '-6', 'route'], { timeoutMs: PROGRAM_TIMEOUT_MS }),
  ]);
  const routes = textOf(ipv4) === undefined ? undefined : parseIpRoute(textOf(ipv4) ?? '', 4);
  // A kernel without IPv6 makes `ip -6` fail; that is no route, not an unknown one.
  if (routes !== undefined) return { routes: [...routes, ...(parseIpRoute(textOf(ipv6) ?? '', 6) ?? [])] };
  const [proc, proc6] = await Promise.all([readText('/proc/net/route'), readText('/proc/net/ipv6_route')]);
  if (proc === undefined)
    return { routes: [], unknown: `${failureOf('ip', ipv4)}; /proc/net/route is not there either` };
  return { routes: [...parseProcRoute(proc), ...parseProcIpv6Route(proc6 ?? '')] };
}

async function macosRoutes({ programs }: VantageDeps): Promise<RoutesRead> {
  const result = await programs.run('netstat', ['-rn'], { timeoutMs: PROGRAM_TIMEOUT_MS });
  const text = textOf(result);
  return text === undefined
    ? { routes: [], unknown: failureOf('netstat', result) }
    : { routes: parseNetstat(text) };
}

/** A machine always has routes of its loopback: none at all means that PowerShell was not let through to them. */
async function windowsRoutes(deps: VantageDeps): Promise<RoutesRead> {
  const answer = await powershell(deps.programs, WINDOWS_ROUTES);
  const routes = answer.ok ? (parseWindowsRoutes(answer.text) ?? []) : [];
  if (routes.length > 0) return { routes };
  const plain = await routePrint(deps);
  return plain.length > 0
    ? { routes: plain }
    : { routes: [], unknown: answer.ok ? 'Get-NetRoute showed none' : answer.reason };
}

/** IPv4 alone. It names a port by its own address. */
async function routePrint({ programs, networkInterfaces }: VantageDeps): Promise<VantageRoute[]> {
  const text = textOf(await programs.run('route', ['print', '-4'], { timeoutMs: PROGRAM_TIMEOUT_MS }));
  const ports = Object.entries(networkInterfaces());
  return parseRoutePrint(
    text ?? '',
    (own) => ports.find(([, rows = []]) => rows.some((row) => row.address === own))?.[0],
  );
}

function textOf(result: ProgramResult): string | undefined {
  return result.ran && result.exitCode === 0 ? result.stdout : undefined;
}

/** One sentence part: why a program gave nothing. */
export function failureOf(program: string, result: ProgramResult): string {
  if (!result.ran)
    return result.why === 'not-found' ? `${program} is not installed` : `${program} may not be run here`;
  if (result.timedOut) return `${program} did not end in time`;
  return `${program} ended with status ${result.exitCode ?? 'unknown'}`;
}
