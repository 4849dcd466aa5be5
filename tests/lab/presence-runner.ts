/** Builds the program once a test file, and settles presence with it from a host of the lab. */
import { mkdirSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import type { KnownNetwork } from '../../src/presence/proxy-check.js';
import type { Abilities, LldpNeighbour, PresenceSighting, ProxyArpCheck } from '../../src/sighting/types.js';
import { type LabHost, PROJECT } from './support/lab.js';
import { must, type Running, run } from './support/run.js';

export interface SettledInLab {
  readonly abilities: Abilities;
  readonly totalMs: number;
  readonly firstMs: Readonly<Record<string, number>>;
  readonly presence: Readonly<Record<string, PresenceSighting>>;
  readonly proxyArp: readonly ProxyArpCheck[];
  readonly ownNeighbours: readonly LldpNeighbour[];
  readonly notes: readonly string[];
}

export interface LabQuestion {
  readonly addresses: readonly string[];
  /** Abilities to do without. */
  readonly without?: readonly ('capture' | 'arping')[];
  readonly deviceOf?: Readonly<Record<string, string>>;
  readonly networks?: readonly KnownNetwork[];
}

/** root; nobody with no capability at all; nobody whose children may open raw sockets, as after `setcap` on the programs. */
export type Who = 'root' | 'nobody' | 'nobody-raw';

const WHO: Readonly<Record<Who, readonly string[]>> = {
  root: [],
  nobody: ['setpriv', '--reuid=65534', '--regid=65534', '--clear-groups', '--bounding-set=-all'],
  'nobody-raw': [
    ...['setpriv', '--reuid=65534', '--regid=65534', '--clear-groups'],
    ...['--inh-caps=+net_raw', '--ambient-caps=+net_raw'],
  ],
};

export class PresenceRunner {
  readonly #folder = path.join(PROJECT, 'node_modules', '.cache', `matchmark-presence-${process.pid}`);

  async build(): Promise<void> {
    mkdirSync(this.#folder, { recursive: true });
    writeFileSync(path.join(this.#folder, 'package.json'), '{"type":"module"}');
    const compiler = path.join(PROJECT, 'node_modules', '.bin', 'tsc');
    await must(compiler, [
      ...['-p', path.join(PROJECT, 'tsconfig.json'), '--noCheck', '--noEmit', 'false'],
      ...['--rootDir', PROJECT, '--outDir', this.#folder],
    ]);
  }

  remove(): void {
    rmSync(this.#folder, { recursive: true, force: true });
  }

  async settle(host: LabHost, who: Who, question: LabQuestion): Promise<SettledInLab> {
    const script = fileURLToPath(new URL('presence-runner.mjs', import.meta.url));
    const request = JSON.stringify({ without: [], ...question });
    const [command = '', ...args] = [...WHO[who], process.execPath, script, this.#folder, request];
    return JSON.parse(await host.must(command, args, { timeoutMs: 60_000 })) as SettledInLab;
  }
}

/** A device that answers ARP late or by turns. */
export async function startResponder(
  host: LabHost,
  nic: string,
  address: string,
  mac: string,
  how: { readonly delayMs?: number; readonly turn?: 'every' | 'odd' | 'even' },
): Promise<Running> {
  const script = fileURLToPath(new URL('arp-responder.py', import.meta.url));
  const args = [script, nic, address, mac, String(how.delayMs ?? 0), how.turn ?? 'every'];
  const running = host.start('python3', args);
  await running.waitFor(/^ready$/m);
  return running;
}

/** Why the responder can not run here, or undefined. */
export async function responderRefusal(): Promise<string | undefined> {
  const tried = await run('python3', ['-c', 'import socket; socket.AF_PACKET']);
  return tried.exitCode === 0 ? undefined : 'no python3 with packet sockets for the device that answers late';
}
