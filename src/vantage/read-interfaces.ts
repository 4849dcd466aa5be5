import type { NetworkInterfaceInfo } from 'node:os';
import { parseCidr } from '../plan/address.js';
import { parseMac } from '../plan/mac.js';
import type { VantageInterface } from '../sighting/types.js';
import { parseIfconfig } from './parse-ifconfig.js';
import { parseIpAddr } from './parse-ip-json.js';
import {
  parseWindowsAdapters,
  parseWindowsInterfaces,
  WINDOWS_ADAPTERS,
  WINDOWS_INTERFACES,
} from './parse-windows.js';
import { powershell } from './powershell.js';
import type { VantageDeps } from './read.js';
import { PROGRAM_TIMEOUT_MS } from './read-routes.js';

/** What Node lists, joined with what the system's own program adds: MTU, link state, and ports without an address. */
export async function readInterfaces(deps: VantageDeps): Promise<VantageInterface[]> {
  const listed = fromNode(deps.networkInterfaces());
  const told = await (READERS[deps.platform] ?? linuxInterfaces)(deps);
  const names = new Set([...told.map((port) => port.name), ...listed.map((port) => port.name)]);
  return [...names].flatMap((name) => {
    const own = listed.find((port) => port.name === name);
    const more = told.find((port) => port.name === name);
    return join(own, more) ?? [];
  });
}

interface Told {
  readonly name: string;
  readonly mac?: string | undefined;
  readonly addresses?: readonly string[] | undefined;
  readonly mtu?: number | undefined;
  readonly up: boolean;
}

function join(own: VantageInterface | undefined, more: Told | undefined): VantageInterface | undefined {
  const name = own?.name ?? more?.name;
  if (name === undefined) return undefined;
  return {
    name,
    mac: more?.mac || own?.mac || '',
    addresses: [...new Set([...(own?.addresses ?? []), ...(more?.addresses ?? [])])],
    ...(more?.mtu === undefined ? {} : { mtu: more.mtu }),
    up: more?.up ?? own?.up ?? false,
  };
}

/** Node lists only ports that are up and running and have an address. */
function fromNode(interfaces: NodeJS.Dict<NetworkInterfaceInfo[]>): VantageInterface[] {
  return Object.entries(interfaces).map(([name, rows = []]) => ({
    name,
    mac: parseMac(rows[0]?.mac ?? '') ?? '',
    addresses: rows.flatMap((row) => {
      const cidr = parseCidr(row.cidr ?? '');
      return cidr === undefined ? [] : [`${cidr.address}/${cidr.prefixBits}`];
    }),
    up: true,
  }));
}

type Reader = (deps: VantageDeps) => Promise<readonly Told[]>;

const READERS: Readonly<Record<string, Reader>> = {
  linux: linuxInterfaces,
  darwin: macosInterfaces,
  win32: windowsInterfaces,
};

async function linuxInterfaces({ programs }: VantageDeps): Promise<readonly Told[]> {
  const result = await programs.run('ip', ['-j', 'addr'], { timeoutMs: PROGRAM_TIMEOUT_MS });
  return result.ran && result.exitCode === 0 ? (parseIpAddr(result.stdout) ?? []) : [];
}

async function macosInterfaces({ programs }: VantageDeps): Promise<readonly Told[]> {
  const result = await programs.run('ifconfig', ['-a'], { timeoutMs: PROGRAM_TIMEOUT_MS });
  return result.ran && result.exitCode === 0 ? parseIfconfig(result.stdout) : [];
}

async function windowsInterfaces({ programs }: VantageDeps): Promise<readonly Told[]> {
  const [layer3, adapters] = await Promise.all([
    powershell(programs, WINDOWS_INTERFACES),
    powershell(programs, WINDOWS_ADAPTERS),
  ]);
  const ports = layer3.ok ? (parseWindowsInterfaces(layer3.text) ?? []) : [];
  const hardware = adapters.ok ? (parseWindowsAdapters(adapters.text) ?? []) : [];
  return ports.map((port) => {
    const adapter = hardware.find((each) => each.name === port.name);
    return {
      name: port.name,
      mtu: port.mtu,
      mac: adapter?.mac,
      up: port.connected && (adapter?.up ?? true),
    };
  });
}
