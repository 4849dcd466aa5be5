/** The system's neighbour table: reading it, and forgetting rows of it where that is permitted. */
import { familyOf } from '../plan/address.js';
import type { Programs } from '../probe/types.js';
import { powershell } from '../vantage/powershell.js';
import { failureOf } from '../vantage/read-routes.js';
import type { Decoded } from '../wire/decoded.js';
import type { Neighbour } from '../wire/neighbour.js';
import { decodeIpNeighJson, decodeIpNeighText, decodeProcNetArp } from '../wire/neighbours-linux.js';
import { decodeArpMacos, decodeNdpMacos } from '../wire/neighbours-macos.js';
import { decodeArpWindows, decodeGetNetNeighbor } from '../wire/neighbours-windows.js';

const TIMEOUT_MS = 5000;

export interface TableDeps {
  readonly programs: Programs;
  readonly platform: string;
  readonly readText: (path: string) => Promise<string | undefined>;
}

/** A row, with how long ago the kernel last had proof of it, in whole seconds, where the system tells (Linux alone). */
export interface TableRow extends Neighbour {
  readonly confirmedAgoS?: number | undefined;
}

export type TableRead =
  | { readonly ok: true; readonly rows: readonly TableRow[] }
  | { readonly ok: false; readonly reason: string };

/**
 * `quick`: for reading many times a second; on Windows it shows no states and IPv4 alone. `full`: with states.
 * Linux and macOS have one way for both.
 */
export function readTable(deps: TableDeps, how: 'quick' | 'full'): Promise<TableRead> {
  if (deps.platform === 'win32') return how === 'quick' ? windowsQuick(deps) : windowsFull(deps);
  return deps.platform === 'darwin' ? macosTable(deps) : linuxTable(deps);
}

/** Their `ip` knows no JSON (iproute2 before 4.14, BusyBox; from memory): not tried again at every look. */
const textOnly = new WeakSet<Programs>();

async function linuxTable({ programs, readText }: TableDeps): Promise<TableRead> {
  const result = textOnly.has(programs)
    ? undefined
    : await programs.run('ip', ['-j', '-s', 'neigh'], { timeoutMs: TIMEOUT_MS });
  if (result?.ran === true && result.exitCode === 0) {
    const read = toRead(decodeIpNeighJson(result.stdout));
    if (read.ok) return { ok: true, rows: withAges(read.rows, result.stdout) };
  }
  const plain =
    result?.ran === false ? result : await programs.run('ip', ['neigh'], { timeoutMs: TIMEOUT_MS });
  if (plain.ran && plain.exitCode === 0) {
    if (result?.ran === true && /unknown|unrecogni[sz]ed|invalid option|usage/i.test(result.stderr))
      textOnly.add(programs);
    return toRead(decodeIpNeighText(plain.stdout));
  }
  const text = await readText('/proc/net/arp');
  return text === undefined
    ? { ok: false, reason: `${failureOf('ip', result ?? plain)}; /proc/net/arp is not there either` }
    : toRead(decodeProcNetArp(text));
}

/** `confirmed` of `ip -s neigh`: seconds since the kernel had proof. */
function withAges(rows: readonly TableRow[], text: string): TableRow[] {
  const ages = new Map<string, number>();
  const list: unknown = text.trim() === '' ? [] : JSON.parse(text);
  for (const row of Array.isArray(list) ? list : []) {
    const { dst, dev, confirmed } = row as Readonly<Record<string, unknown>>;
    // iproute2 writes addresses in canonical form (inet_ntop), as `rows` has them.
    if (typeof confirmed === 'number') ages.set(`${String(dst)} ${String(dev)}`, confirmed);
  }
  return rows.map((row) => ({ ...row, confirmedAgoS: ages.get(`${row.address} ${row.interface}`) }));
}

async function macosTable({ programs }: TableDeps): Promise<TableRead> {
  const [ipv4, ipv6] = await Promise.all([
    programs.run('arp', ['-an'], { timeoutMs: TIMEOUT_MS }),
    programs.run('ndp', ['-an'], { timeoutMs: TIMEOUT_MS }),
  ]);
  if (!ipv4.ran || ipv4.exitCode !== 0) return { ok: false, reason: failureOf('arp', ipv4) };
  const read = toRead(decodeArpMacos(ipv4.stdout));
  const more = ipv6.ran && ipv6.exitCode === 0 ? toRead(decodeNdpMacos(ipv6.stdout)) : read;
  return read.ok && more.ok && more !== read ? { ok: true, rows: [...read.rows, ...more.rows] } : read;
}

async function windowsQuick({ programs }: TableDeps): Promise<TableRead> {
  const result = await programs.run('arp', ['-a'], { timeoutMs: TIMEOUT_MS });
  // `arp -a` ends with 1 where the table is empty.
  return result.ran
    ? toRead(decodeArpWindows(result.stdout))
    : { ok: false, reason: failureOf('arp', result) };
}

async function windowsFull(deps: TableDeps): Promise<TableRead> {
  const line =
    'Get-NetNeighbor | Select-Object IPAddress,LinkLayerAddress,InterfaceAlias,@{n="State";e={[int]$_.State}} | ConvertTo-Json -Compress';
  const answer = await powershell(deps.programs, line);
  const read = answer.ok ? toRead(decodeGetNetNeighbor(answer.text)) : undefined;
  return read?.ok ? read : windowsQuick(deps);
}

function toRead(decoded: Decoded<readonly Neighbour[]>): TableRead {
  return decoded.ok ? { ok: true, rows: decoded.value } : { ok: false, reason: decoded.detail };
}

/** Rows of one port that are to be asked for afresh. */
export interface Forget {
  readonly port: string;
  readonly addresses: readonly string[];
  /** Networks of that port that hold them: one command a network where there are many. */
  readonly networks: readonly string[];
}

/** Up to so many addresses, each is forgotten by itself and the rest of the table is left alone. */
const ONE_BY_ONE = 8;

/**
 * Takes rows out of the laptop's own neighbour table, so that the kernel has to ask anew. Needs administrator rights.
 * False where it could not be done.
 */
export async function forgetRows(deps: TableDeps, { port, addresses, networks }: Forget): Promise<boolean> {
  const targets = addresses.length <= ONE_BY_ONE ? addresses : networks;
  const commands =
    deps.platform === 'linux'
      ? targets.map((target) => [
          'ip',
          ...(familyOf(target) === 6 ? ['-6'] : []),
          ...['neigh', 'flush', 'to', target, 'dev', port],
        ])
      : deps.platform === 'darwin'
        ? addresses.map((address) =>
            familyOf(address) === 4 ? ['arp', '-n', '-d', address] : ['ndp', '-d', `${address}`],
          )
        : deps.platform === 'win32'
          ? [4, 6].map((family) => ['netsh', 'interface', `ipv${family}`, 'delete', 'neighbors', port])
          : [];
  if (commands.length === 0) return false;
  const results = await Promise.all(
    commands.map(([command = '', ...args]) => deps.programs.run(command, args, { timeoutMs: TIMEOUT_MS })),
  );
  // macOS answers with a failure for an address that it has no row for, which is as good.
  if (deps.platform === 'darwin') return results.every((result) => result.ran);
  return results.every((result) => result.ran && result.exitCode === 0);
}
