/** Linux: iproute2, else /proc. */
import { familyOf } from '../../plan/address.js';
import { tableOf } from '../neighbour.js';
import { failureOf, type ProgramResult, type Programs, textOf } from '../program-types.js';
import type { Forget, PortTold, RoutesRead, System, SystemDeps, TableRead, Timings } from '../types.js';
import { parseIpAddr, parseIpRoute } from './ip-json.js';
import { neighbourAsker } from './neighbour-asker.js';
import { decodeIpNeighJson, decodeIpNeighText, decodeProcNetArp, proofAges } from './neighbours.js';
import { parseProcIpv6Route, parseProcRoute } from './proc-route.js';

const TIMEOUT_MS = 5000;

/** net/ipv4/arp.c and Documentation/networking/ip-sysctl of the kernel: mcast_solicit 3, retrans_time 1 s, base_reachable_time 30 s (15 to 45). */
export const LINUX_TIMINGS: Timings = {
  refusalMs: 0,
  hearsPortUnreachable: true,
  neighbourGivesUpMs: 3000,
  neighbourKeptMs: 45_000,
  holdDownMs: 0,
};

export function linuxSystem(deps: SystemDeps): System {
  return {
    ...deps,
    timings: LINUX_TIMINGS,
    // tcpdump hands over each frame at once.
    capturePrograms: ['tcpdump', 'dumpcap'],
    hasArping: true,
    ports: () => ports(deps),
    routes: () => routes(deps),
    neighbours: () => neighbours(deps),
    forget: (rows) => forget(deps, rows),
    neighbourAsker: () => neighbourAsker(deps.programs),
    privileged: async () => deps.effectiveUser?.() === 0,
    captureDevice: async (_program, port) => port,
  };
}

async function ports({ programs, readText }: SystemDeps): Promise<readonly PortTold[]> {
  const text = textOf(await programs.run('ip', ['-j', 'addr'], { timeoutMs: TIMEOUT_MS }));
  const told = parseIpAddr(text ?? '') ?? [];
  return Promise.all(
    told.map(async (port) => {
      // The kernel's own word for what the device is (Documentation/ABI/testing/sysfs-uevent; from memory: DEVTYPE=wlan).
      const kind = await readText(`/sys/class/net/${port.name}/uevent`);
      return kind === undefined ? port : { ...port, wireless: /^DEVTYPE=wlan$/m.test(kind) };
    }),
  );
}

async function routes({ programs, readText }: SystemDeps): Promise<RoutesRead> {
  const [ipv4, ipv6] = await Promise.all([
    programs.run('ip', ['-j', 'route'], { timeoutMs: TIMEOUT_MS }),
    programs.run('ip', ['-j', '-6', 'route'], { timeoutMs: TIMEOUT_MS }),
  ]);
  const told = textOf(ipv4) === undefined ? undefined : parseIpRoute(textOf(ipv4) ?? '', 4);
  // A kernel without IPv6 makes `ip -6` fail; that is no route, not an unknown one.
  if (told !== undefined) return { routes: [...told, ...(parseIpRoute(textOf(ipv6) ?? '', 6) ?? [])] };
  const [proc, proc6] = await Promise.all([readText('/proc/net/route'), readText('/proc/net/ipv6_route')]);
  if (proc === undefined)
    return { routes: [], unknown: `${failureOf('ip', ipv4)}; /proc/net/route is not there either` };
  return { routes: [...parseProcRoute(proc), ...parseProcIpv6Route(proc6 ?? '')] };
}

/** Their `ip` knows no JSON (iproute2 before 4.14, BusyBox; from memory): not tried again at every look. */
const textOnly = new WeakSet<Programs>();

async function neighbours({ programs, readText }: SystemDeps): Promise<TableRead> {
  const result = textOnly.has(programs)
    ? undefined
    : await programs.run('ip', ['-j', '-s', 'neigh'], { timeoutMs: TIMEOUT_MS });
  if (result?.ran === true && result.exitCode === 0) {
    const read = decodeIpNeighJson(result.stdout);
    if (read.ok) return { ok: true, rows: proofAges(read.value, result.stdout), showsQuestions: true };
  }
  const plain: ProgramResult =
    result?.ran === false ? result : await programs.run('ip', ['neigh'], { timeoutMs: TIMEOUT_MS });
  if (plain.ran && plain.exitCode === 0) {
    if (result?.ran === true && /unknown|unrecogni[sz]ed|invalid option|usage/i.test(result.stderr))
      textOnly.add(programs);
    return tableOf(decodeIpNeighText(plain.stdout), true);
  }
  const text = await readText('/proc/net/arp');
  return text === undefined
    ? { ok: false, reason: `${failureOf('ip', result ?? plain)}; /proc/net/arp is not there either` }
    : tableOf(decodeProcNetArp(text), true);
}

/** Up to so many addresses, each is forgotten by itself and the rest of the table is left alone. */
const ONE_BY_ONE = 8;

async function forget({ programs }: SystemDeps, { port, addresses, networks }: Forget): Promise<boolean> {
  const targets = addresses.length <= ONE_BY_ONE ? addresses : networks;
  const results = await Promise.all(
    targets.map((target) => {
      const family = familyOf(target) === 6 ? ['-6'] : [];
      const args = [...family, 'neigh', 'flush', 'to', target, 'dev', port];
      return programs.run('ip', args, { timeoutMs: TIMEOUT_MS });
    }),
  );
  return results.every((result) => result.ran && result.exitCode === 0);
}
