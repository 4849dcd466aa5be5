/** macOS: ifconfig, netstat, arp, ndp. All speak English whatever the language of the screen. */
import { familyOf } from '../../plan/address.js';
import { tableOf } from '../neighbour.js';
import { failureOf, textOf } from '../program-types.js';
import type { Forget, PortTold, RoutesRead, System, SystemDeps, TableRead, Timings } from '../types.js';
import { parseIfconfig } from './ifconfig.js';
import { decodeArpMacos, decodeNdpMacos } from './neighbours.js';
import { parseNetstat } from './netstat.js';

const TIMEOUT_MS = 5000;

/** sysctl net.link.ether.inet of macOS: max_age 1200 s, maxtries 5 at one a second, host_down_time 20 s (from memory). */
export const MACOS_TIMINGS: Timings = {
  refusalMs: 0,
  hearsPortUnreachable: true,
  neighbourGivesUpMs: 5000,
  neighbourKeptMs: 1_200_000,
  holdDownMs: 20_000,
};

export function macosSystem(deps: SystemDeps): System {
  return {
    ...deps,
    timings: MACOS_TIMINGS,
    capturePrograms: ['tcpdump', 'dumpcap'],
    hasArping: true,
    ports: () => ports(deps),
    routes: () => routes(deps),
    neighbours: () => neighbours(deps),
    forget: (rows) => forget(deps, rows),
    privileged: async () => deps.effectiveUser?.() === 0,
    captureDevice: async (_program, port) => port,
  };
}

async function ports({ programs }: SystemDeps): Promise<readonly PortTold[]> {
  // -v adds the type of the port (from memory); an ifconfig without it is asked plainly.
  const verbose = textOf(await programs.run('ifconfig', ['-a', '-v'], { timeoutMs: TIMEOUT_MS }));
  const text = verbose ?? textOf(await programs.run('ifconfig', ['-a'], { timeoutMs: TIMEOUT_MS }));
  return parseIfconfig(text ?? '');
}

async function routes({ programs }: SystemDeps): Promise<RoutesRead> {
  const result = await programs.run('netstat', ['-rn'], { timeoutMs: TIMEOUT_MS });
  const text = textOf(result);
  return text === undefined
    ? { routes: [], unknown: failureOf('netstat', result) }
    : { routes: parseNetstat(text) };
}

async function neighbours({ programs }: SystemDeps): Promise<TableRead> {
  const [ipv4, ipv6] = await Promise.all([
    programs.run('arp', ['-an'], { timeoutMs: TIMEOUT_MS }),
    programs.run('ndp', ['-an'], { timeoutMs: TIMEOUT_MS }),
  ]);
  const text = textOf(ipv4);
  if (text === undefined) return { ok: false, reason: failureOf('arp', ipv4) };
  const [arp, ndp] = [decodeArpMacos(text), decodeNdpMacos(textOf(ipv6) ?? '')];
  if (!arp.ok || !ndp.ok) return tableOf(arp, true);
  return { ok: true, rows: [...arp.value, ...ndp.value], showsQuestions: true };
}

async function forget({ programs }: SystemDeps, { addresses }: Forget): Promise<boolean> {
  const results = await Promise.all(
    addresses.map((address) =>
      familyOf(address) === 4
        ? programs.run('arp', ['-n', '-d', address], { timeoutMs: TIMEOUT_MS })
        : programs.run('ndp', ['-d', address], { timeoutMs: TIMEOUT_MS }),
    ),
  );
  // It answers with a failure for an address that it has no row for, which is as good.
  return results.every((result) => result.ran);
}
