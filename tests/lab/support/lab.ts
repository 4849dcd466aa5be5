/**
 * Builds sites out of network namespaces (DESIGN 11): a namespace a host, a namespace with one bridge a switch, a veth pair a cable.
 * Real ARP, real duplicate addresses, real programs. Needs root; `labAllowed()` says why not otherwise.
 */
import { chmodSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { must, type Ran, type Running, type RunOptions, run, start } from './run.js';

export const PROJECT = fileURLToPath(new URL('../../../', import.meta.url));
const BRIDGE = 'bridge0';

export interface Nic {
  readonly switch: LabSwitch;
  /** Interface name on the host, 15 characters at most. */
  readonly name: string;
  /** Port name on the switch; default `port<N>`. */
  readonly port?: string;
  readonly mac?: string;
  readonly addresses?: readonly string[];
  readonly mtu?: number;
}

let builtHere = 0;

/** Undefined where labs can be built; else the reason, for a loud skip. */
export async function labRefusal(): Promise<string | undefined> {
  if (process.getuid?.() !== 0) return 'not root: network namespaces cannot be made here';
  const name = `mmtry${process.pid}`;
  const added = await run('ip', ['netns', 'add', name]);
  if (added.exitCode !== 0) return `ip netns add: ${added.stderr.trim() || 'no ip program'}`;
  await run('ip', ['netns', 'del', name]);
  return undefined;
}

export class Lab {
  readonly folder = openFolder();
  readonly #prefix = `mm${process.pid}x${builtHere++}`;
  readonly #namespaces: string[] = [];
  readonly #running: Running[] = [];
  #cables = 0;

  async #namespace(): Promise<string> {
    const name = `${this.#prefix}n${this.#namespaces.length}`;
    this.#namespaces.push(name);
    await must('ip', ['netns', 'add', name]);
    await must('ip', ['-n', name, 'link', 'set', 'lo', 'up']);
    return name;
  }

  track(running: Running): Running {
    this.#running.push(running);
    return running;
  }

  async addSwitch(name: string, options: { mtu?: number } = {}): Promise<LabSwitch> {
    const namespace = await this.#namespace();
    await must('ip', ['-n', namespace, 'link', 'add', BRIDGE, 'type', 'bridge']);
    await must('ip', ['-n', namespace, 'link', 'set', BRIDGE, 'mtu', String(options.mtu ?? 9000), 'up']);
    return new LabSwitch(this, name, namespace, BRIDGE);
  }

  async addHost(name: string, nics: readonly Nic[] = []): Promise<LabHost> {
    const host = new LabHost(this, name, await this.#namespace());
    for (const nic of nics) await this.cable(host, nic);
    return host;
  }

  /** Plugs a host into a switch. */
  async cable(host: LabHost, nic: Nic): Promise<void> {
    const at = nic.switch.namespace;
    const port = nic.port ?? `port${++this.#cables}`;
    const mtu = String(nic.mtu ?? 1500);
    await must('ip', [
      ...['link', 'add', nic.name, 'netns', host.namespace, 'type', 'veth'],
      ...['peer', 'name', port, 'netns', at],
    ]);
    if (nic.mac !== undefined)
      await must('ip', ['-n', host.namespace, 'link', 'set', nic.name, 'address', nic.mac]);
    // A switch port takes jumbo frames unless a test says otherwise.
    await must('ip', ['-n', at, 'link', 'set', port, 'mtu', String(Math.max(9000, nic.mtu ?? 0))]);
    await must('ip', ['-n', at, 'link', 'set', port, 'master', nic.switch.bridge, 'up']);
    await must('ip', ['-n', host.namespace, 'link', 'set', nic.name, 'mtu', mtu, 'up']);
    for (const address of nic.addresses ?? []) await host.addAddress(nic.name, address);
  }

  /** Ends every process and namespace of this lab. */
  async remove(): Promise<void> {
    await Promise.all(this.#running.map((running) => running.stop()));
    for (const namespace of this.#namespaces) await run('ip', ['netns', 'del', namespace]);
    rmSync(this.folder, { recursive: true, force: true });
  }
}

/** Readable by a user without rights, who may also write into it: the laptop's user is nobody in some tests. */
function openFolder(): string {
  const folder = mkdtempSync(path.join(tmpdir(), 'matchmark-lab-'));
  chmodSync(folder, 0o777);
  return folder;
}

class Place {
  constructor(
    readonly lab: Lab,
    readonly name: string,
    readonly namespace: string,
  ) {}

  exec(command: string, args: readonly string[], options: RunOptions = {}): Promise<Ran> {
    return run('ip', ['netns', 'exec', this.namespace, command, ...args], options);
  }

  must(command: string, args: readonly string[], options: RunOptions = {}): Promise<string> {
    return must('ip', ['netns', 'exec', this.namespace, command, ...args], options);
  }

  start(command: string, args: readonly string[], options: RunOptions = {}): Running {
    return this.lab.track(start('ip', ['netns', 'exec', this.namespace, command, ...args], options));
  }

  /** What runs here, as command lines in order: pgrep and ps would tell of the whole machine. */
  async running(): Promise<string[]> {
    const pids = (await must('ip', ['netns', 'pids', this.namespace])).trim().split('\n');
    const { stdout } = await run('ps', ['-o', 'args=', '-p', pids.join(',')]);
    return stdout.trim().split('\n').sort();
  }

  async linkUp(name: string, up: boolean): Promise<void> {
    await must('ip', ['-n', this.namespace, 'link', 'set', name, up ? 'up' : 'down']);
  }

  async setMtu(name: string, mtu: number): Promise<void> {
    await must('ip', ['-n', this.namespace, 'link', 'set', name, 'mtu', String(mtu)]);
  }
}

export class LabSwitch extends Place {
  constructor(
    lab: Lab,
    name: string,
    namespace: string,
    readonly bridge: string,
  ) {
    super(lab, name, namespace);
  }
}

export class LabHost extends Place {
  async addAddress(nic: string, address: string): Promise<void> {
    // No duplicate detection wait for IPv6: the lab makes duplicates on purpose.
    const quick = address.includes(':') ? ['nodad'] : [];
    await must('ip', ['-n', this.namespace, 'address', 'add', address, 'dev', nic, ...quick]);
  }

  async removeAddress(nic: string, address: string): Promise<void> {
    await must('ip', ['-n', this.namespace, 'address', 'del', address, 'dev', nic]);
  }

  async addRoute(destination: string, gateway: string): Promise<void> {
    await must('ip', ['-n', this.namespace, 'route', 'add', destination, 'via', gateway]);
  }

  /** Drops a share of the IP packets that come in, at random (nftables). */
  async dropIncoming(percent: number): Promise<void> {
    const rules = `table inet lossy { chain in { type filter hook input priority 0; numgen random mod 100 < ${percent} drop; }; }`;
    await this.must('nft', ['-f', '-'], { input: rules });
  }

  /** Runs the built program in this namespace. */
  matchmark(args: readonly string[], options: RunOptions & { asNobody?: boolean } = {}): Promise<Ran> {
    const line = [process.execPath, path.join(PROJECT, 'bin/matchmark.js'), ...args];
    const command = options.asNobody
      ? [
          '/usr/bin/setpriv',
          '--reuid=65534',
          '--regid=65534',
          '--clear-groups',
          '--bounding-set=-all',
          ...line,
        ]
      : line;
    return this.exec(command[0] ?? '', command.slice(1), options);
  }
}
