/** Windows: one PowerShell for all that is read, and without it the old programs, whose words are in the language of the user and are not read. */
import { failureOf, textOf } from '../program-types.js';
import type {
  CaptureProgram,
  Forget,
  PortTold,
  RoutesRead,
  System,
  SystemDeps,
  TableRead,
  Timings,
} from '../types.js';
import { deviceOf, parseCaptureDevices } from './capture-devices.js';
import { parseGetmac } from './getmac.js';
import {
  decodeArpWindows,
  decodeGetNetNeighbor,
  decodeNetshNeighbours,
  WINDOWS_NEIGHBOURS,
} from './neighbours.js';
import { parseNetshAddresses } from './netsh-addresses.js';
import { openPowershell, type Powershell } from './powershell.js';
import { parseRoutePrint, parseRoutePrint6 } from './route-print.js';
import {
  joinPorts,
  parseWindowsAdapters,
  parseWindowsAddresses,
  parseWindowsInterfaces,
  parseWindowsRoutes,
  WINDOWS_ADAPTERS,
  WINDOWS_ADDRESSES,
  WINDOWS_INTERFACES,
  WINDOWS_ROUTES,
} from './tables.js';

const TIMEOUT_MS = 5000;

/**
 * A refused SYN is sent again, 500 ms after each RST: a refusal takes about 2 s (Microsoft's article 175523; "slow TCP connect on
 * Windows", daniel.haxx.se, 2024-08-14). A UDP socket of Node hears no "port unreachable" there. Neighbours: RFC 4861 §10, base 30 s.
 */
export const WINDOWS_TIMINGS: Timings = {
  refusalMs: 2100,
  hearsPortUnreachable: false,
  neighbourGivesUpMs: 3000,
  neighbourKeptMs: 45_000,
  holdDownMs: 0,
};

export function windowsSystem(deps: SystemDeps): System {
  const shell = openPowershell(deps.programs);
  return {
    ...deps,
    timings: WINDOWS_TIMINGS,
    capturePrograms: ['dumpcap'],
    hasArping: false,
    ports: () => ports(deps, shell),
    routes: () => routes(deps, shell),
    neighbours: () => neighbours(deps, shell),
    forget: (rows) => forget(deps, rows),
    privileged: () => privileged(deps),
    captureDevice: (program, port) => captureDevice(deps, shell, program, port),
  };
}

async function ports(deps: SystemDeps, shell: Powershell): Promise<readonly PortTold[]> {
  const [layer3, adapters, addresses] = await Promise.all([
    shell.ask(WINDOWS_INTERFACES),
    shell.ask(WINDOWS_ADAPTERS),
    shell.ask(WINDOWS_ADDRESSES),
  ]);
  const told = layer3.ok ? (parseWindowsInterfaces(layer3.text) ?? []) : [];
  if (told.length === 0) return plainPorts(deps);
  return joinPorts(
    told,
    adapters.ok ? (parseWindowsAdapters(adapters.text) ?? []) : [],
    addresses.ok ? (parseWindowsAddresses(addresses.text) ?? []) : [],
  );
}

/** By `getmac`, which knows ports without link, and `netsh`, which knows their static addresses. */
async function plainPorts({ programs }: SystemDeps): Promise<readonly PortTold[]> {
  const [getmac, netsh] = await Promise.all([
    programs.run('getmac', ['/v', '/fo', 'csv', '/nh'], { timeoutMs: TIMEOUT_MS }),
    programs.run('netsh', ['interface', 'ipv4', 'show', 'addresses'], { timeoutMs: TIMEOUT_MS }),
  ]);
  const addresses = parseNetshAddresses(textOf(netsh) ?? '');
  return parseGetmac(textOf(getmac) ?? '').map(({ name, mac, up }) => ({
    name,
    mac,
    up,
    addresses: addresses.get(name) ?? [],
  }));
}

/** A machine always has routes of its loopback: none at all means that PowerShell was not let through to them. */
async function routes(deps: SystemDeps, shell: Powershell): Promise<RoutesRead> {
  const answer = await shell.ask(WINDOWS_ROUTES);
  const told = answer.ok ? (parseWindowsRoutes(answer.text) ?? []) : [];
  if (told.length > 0) return { routes: told };
  const plain = await routePrint(deps);
  return plain.length > 0
    ? { routes: plain }
    : { routes: [], unknown: answer.ok ? 'Get-NetRoute showed none' : answer.reason };
}

/** It names a port by its own address (IPv4), or by a number whose MAC stands above (IPv6). */
async function routePrint({ programs, networkInterfaces }: SystemDeps) {
  const [ipv4, ipv6] = await Promise.all([
    programs.run('route', ['print', '-4'], { timeoutMs: TIMEOUT_MS }),
    programs.run('route', ['print', '-6'], { timeoutMs: TIMEOUT_MS }),
  ]);
  const ports = Object.entries(networkInterfaces());
  const portWith = (has: (row: { address: string; mac: string }) => boolean): string | undefined =>
    ports.find(([, rows = []]) => rows.some(has))?.[0];
  return [
    ...parseRoutePrint(textOf(ipv4) ?? '', (own) => portWith(({ address }) => address === own)),
    ...parseRoutePrint6(textOf(ipv6) ?? '', (mac) => portWith((row) => row.mac === mac)),
  ];
}

async function neighbours(deps: SystemDeps, shell: Powershell): Promise<TableRead> {
  const answer = await shell.ask(WINDOWS_NEIGHBOURS);
  const read = answer.ok ? decodeGetNetNeighbor(answer.text) : undefined;
  // Windows always has rows for its groups; none of any kind means that PowerShell was not let through.
  if (answer.ok && answer.text.trim() !== '' && read?.ok)
    return { ok: true, rows: read.value, showsQuestions: true };
  return plainNeighbours(deps);
}

/** `arp -a` for IPv4, `netsh` for IPv6. Both show MACs alone, in any language: rows are `held`, and an unanswered question has none. */
async function plainNeighbours({ programs }: SystemDeps): Promise<TableRead> {
  const [arp, netsh] = await Promise.all([
    programs.run('arp', ['-a'], { timeoutMs: TIMEOUT_MS }),
    programs.run('netsh', ['interface', 'ipv6', 'show', 'neighbors'], { timeoutMs: TIMEOUT_MS }),
  ]);
  // `arp -a` ends with 1 where the table is empty.
  if (!arp.ran) return { ok: false, reason: failureOf('arp', arp) };
  const [ipv4, ipv6] = [decodeArpWindows(arp.stdout), decodeNetshNeighbours(textOf(netsh) ?? '')];
  const rows = [...(ipv4.ok ? ipv4.value : []), ...(ipv6.ok ? ipv6.value : [])];
  return { ok: true, rows, showsQuestions: false };
}

async function forget({ programs }: SystemDeps, { port }: Forget): Promise<boolean> {
  const results = await Promise.all(
    ['ipv4', 'ipv6'].map((family) =>
      programs.run('netsh', ['interface', family, 'delete', 'neighbors', port], { timeoutMs: TIMEOUT_MS }),
    ),
  );
  return results.every((result) => result.ran && result.exitCode === 0);
}

/** Mandatory integrity labels High and System: what an elevated console has ([MS-DTYP] §2.4.2.4, from memory). SIDs are the same in every language. */
const ELEVATED = /\bS-1-16-(12288|16384)\b/;

async function privileged({ programs }: SystemDeps): Promise<boolean> {
  return ELEVATED.test(textOf(await programs.run('whoami', ['/groups'], { timeoutMs: TIMEOUT_MS })) ?? '');
}

async function captureDevice(
  { programs }: SystemDeps,
  shell: Powershell,
  program: CaptureProgram,
  port: string,
): Promise<string | undefined> {
  const listed = textOf(await programs.run(program, ['-D'], { timeoutMs: TIMEOUT_MS }));
  // Not installed, or not let to its driver: it says so itself when it is started.
  if (listed === undefined) return port;
  const devices = parseCaptureDevices(listed);
  const known = deviceOf(devices, port, undefined);
  if (known !== undefined || devices.length === 0) return known;
  const adapters = await shell.ask(WINDOWS_ADAPTERS);
  const rows = adapters.ok ? (parseWindowsAdapters(adapters.text) ?? []) : [];
  return deviceOf(devices, port, rows.find(({ name }) => name === port)?.guid);
}
