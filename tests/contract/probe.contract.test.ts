/**
 * What every probe promises, whatever sits on the other side: it resolves, within its patience, at once when interrupted, and leaves no
 * socket behind.
 */
import { createSocket } from 'node:dgram';
import type { Socket } from 'node:net';
import { afterEach, describe, expect, it } from 'vitest';
import { Secret } from '../../src/plan/secret.js';
import { icmpProbe } from '../../src/probe/icmp.js';
import { probeIscsi } from '../../src/probe/iscsi.js';
import { probeRedfish } from '../../src/probe/redfish.js';
import { proveService } from '../../src/probe/services.js';
import { probeTcp } from '../../src/probe/tcp.js';
import type { Patience } from '../../src/probe/types.js';
import { probeSnmp } from '../../src/snmp/agent.js';
import { readLinks } from '../../src/snmp/links.js';
import { readSwitchTables } from '../../src/snmp/switch-tables.js';
import { programs } from '../../src/system/programs.js';
import { ADDRESS, service, tcpServer } from '../probe/loopback.js';

type Ask = (port: number, patience: Patience, signal: AbortSignal) => Promise<unknown>;

const prove =
  (name: string): Ask =>
  (port, patience, signal) =>
    proveService({ address: ADDRESS, service: service(name, port) }, patience, signal);

const snmp = (port: number) =>
  ({ name: 'site', version: '2c', port, community: new Secret('loft-read') }) as const;

/** Proofs that this file knows by name; a new one in services.ts belongs here too. */
const TCP_PROBES: Readonly<Record<string, Ask>> = {
  tcp: (port, patience, signal) =>
    probeTcp({ address: ADDRESS, service: service('ssh', port) }, patience, signal),
  'tcp/9': prove('tcp/9'),
  http: prove('http'),
  https: prove('https'),
  ssh: prove('ssh'),
  'netconf-ssh': prove('netconf-ssh'),
  nfs: prove('nfs'),
  sunrpc: prove('sunrpc'),
  'microsoft-ds': prove('microsoft-ds'),
  nvme: prove('nvme'),
  iscsi: (port, patience, signal) => probeIscsi({ address: ADDRESS, port }, patience, signal),
  'iscsi-target': prove('iscsi-target'),
  redfish: (port, patience, signal) => probeRedfish({ address: ADDRESS, port }, patience, signal),
  'redfish, plain': (port, patience, signal) =>
    probeRedfish({ address: ADDRESS, port }, patience, signal, { scheme: 'http' }),
};

const UDP_PROBES: Readonly<Record<string, Ask>> = {
  'snmp, no credential': (port, patience, signal) =>
    probeSnmp({ address: ADDRESS, service: service('snmp', port) }, patience, signal),
  snmp: (port, patience, signal) =>
    probeSnmp({ address: ADDRESS, service: service('snmp', port), credential: snmp(port) }, patience, signal),
  'snmp links': (port, patience, signal) =>
    readLinks({ address: ADDRESS, credential: snmp(port), device: 'vault-1' }, patience, signal),
  'snmp switch tables': (port, patience, signal) =>
    readSwitchTables({ address: ADDRESS, credential: snmp(port), switch: 'loft-switch' }, patience, signal),
};

const LOOPBACK_PING: Ask = (_, patience, signal) =>
  icmpProbe({ programs })({ address: ADDRESS }, patience, signal);

/** What sits on the other side of a TCP connection. */
const PEERS: Readonly<Record<string, (socket: Socket) => void>> = {
  silence: () => {},
  'an immediate close': (socket) => socket.end(),
  'a reset': (socket) => socket.resetAndDestroy(),
  'a reset after the question': (socket) => socket.once('data', () => socket.resetAndDestroy()),
  garbage: (socket) => socket.write(Buffer.from(Array.from({ length: 4096 }, (_, i) => (i * 7919) & 0xff))),
  zeros: (socket) => socket.write(Buffer.alloc(4096)),
  'endless data': (socket) => {
    const more = () => {
      if (!socket.destroyed) socket.write(Buffer.alloc(65_536, 'x'), () => setImmediate(more));
    };
    more();
  },
  'a slow drip': (socket) => {
    const timer = setInterval(() => socket.write('x'), 10);
    socket.on('close', () => clearInterval(timer));
  },
  'an HTTP answer that never ends its header': (socket) => {
    socket.write('HTTP/1.1 200 OK\r\n');
    const timer = setInterval(() => socket.write('X: y\r\n'), 10);
    socket.on('close', () => clearInterval(timer));
  },
  'a TLS alert': (socket) => socket.end(Buffer.from('15030300020228', 'hex')),
  'pings without end, as an iSCSI target may send them': (socket) => {
    const ping = Buffer.alloc(48);
    ping.set([0x20, 0x80], 0);
    const timer = setInterval(() => socket.write(ping), 10);
    socket.on('close', () => clearInterval(timer));
  },
};

const DATAGRAMS: Readonly<Record<string, Buffer | undefined>> = {
  silence: undefined,
  nothing: Buffer.alloc(0),
  garbage: Buffer.from(Array.from({ length: 1400 }, (_, i) => (i * 7919) & 0xff)),
  'a nest of sequences': Buffer.alloc(1400, Buffer.from('3080', 'hex')),
  'lengths that lie': Buffer.from('3084ffffffff0201013084ffffffff', 'hex'),
};

const PATIENCE = { timeoutMs: 100, attempts: 2 } as const;
/** Connecting has `timeoutMs * attempts`, talking two patiences; a second try after failed TLS once more; then slack for a busy machine. */
const LIMIT_MS = PATIENCE.timeoutMs * PATIENCE.attempts * 4 + 300;

const closers: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of closers.splice(0)) await close();
});

/** Timers are left out: the test runner has its own. */
function handles(): string[] {
  return process
    .getActiveResourcesInfo()
    .filter((name) => /TCP|UDP|Process|TLS/.test(name))
    .sort();
}

async function settle(): Promise<void> {
  await new Promise((resolve) => setTimeout(resolve, 30));
}

/** What is wrong with how a probe keeps its promises: nothing, or a sentence each. */
async function faultsOf(ask: Ask, port: number, idle: () => Promise<void>): Promise<string[]> {
  const faults: string[] = [];
  const startedAt = performance.now();
  const value = await ask(port, PATIENCE, new AbortController().signal);
  const tookMs = performance.now() - startedAt;
  if (typeof value !== 'object' || value === null) faults.push('resolved to nothing');
  if (tookMs > LIMIT_MS) faults.push(`took ${Math.round(tookMs)} ms`);
  await idle();
  const lateMs = await lateBy(ask, port);
  if (lateMs > 200) faults.push(`went on for ${Math.round(lateMs)} ms after it was interrupted`);
  await idle();
  return faults;
}

/** Milliseconds that a probe with all the time in the world goes on for once it is interrupted. */
async function lateBy(ask: Ask, port: number): Promise<number> {
  const controller = new AbortController();
  let abortedAt = Number.POSITIVE_INFINITY;
  setTimeout(() => {
    abortedAt = performance.now();
    controller.abort();
  }, 60);
  await ask(port, { timeoutMs: 4000, attempts: 3 }, controller.signal);
  return Math.max(0, performance.now() - abortedAt);
}

/** All peers of one probe at a time: nearly all of it is waiting. */
describe.each(Object.entries(TCP_PROBES))('%s', (_, ask) => {
  it('keeps its promises towards every peer, and leaves nothing behind', async () => {
    const servers = await Promise.all(
      Object.entries(PEERS).map(async ([peer, greet]) => ({ peer, server: await tcpServer(greet) })),
    );
    for (const { server } of servers) closers.push(server.close);
    await settle();
    const before = handles();
    const faults = await Promise.all(
      servers.map(async ({ peer, server }) =>
        (await faultsOf(ask, server.port, server.idle)).map((fault) => `towards ${peer} it ${fault}`),
      ),
    );
    expect(faults.flat()).toEqual([]);
    await settle();
    expect(handles()).toEqual(before);
  });

  it('does nothing once interrupted', async () => {
    const server = await tcpServer(() => {});
    closers.push(server.close);
    const value = JSON.stringify(await ask(server.port, PATIENCE, AbortSignal.abort()));
    expect(value).toContain('interrupted');
    expect(server.taken()).toBe(0);
  });
});

async function datagramPeer(bytes: Buffer | undefined): Promise<number> {
  const peer = createSocket('udp4');
  peer.on('message', (_question, from) => {
    if (bytes !== undefined) peer.send(bytes, from.port, from.address);
  });
  await new Promise<void>((resolve) => peer.bind(0, ADDRESS, resolve));
  closers.push(() => new Promise((resolve) => peer.close(() => resolve())));
  return peer.address().port;
}

describe.each(Object.entries(UDP_PROBES))('%s', (_, ask) => {
  it('keeps its promises towards every peer, and leaves nothing behind', async () => {
    const peers = await Promise.all(
      Object.entries(DATAGRAMS).map(async ([peer, bytes]) => ({ peer, port: await datagramPeer(bytes) })),
    );
    await settle();
    const before = handles();
    const faults = await Promise.all(
      peers.map(async ({ peer, port }) =>
        (await faultsOf(ask, port, settle)).map((fault) => `towards ${peer} it ${fault}`),
      ),
    );
    expect(faults.flat()).toEqual([]);
    await settle();
    expect(handles()).toEqual(before);
  });

  it('does nothing once interrupted', async () => {
    expect(JSON.stringify(await ask(9, PATIENCE, AbortSignal.abort()))).toContain('interrupted');
  });
});

describe('icmp', () => {
  it('leaves no process behind', async () => {
    await settle();
    const before = handles();
    await LOOPBACK_PING(0, PATIENCE, new AbortController().signal);
    expect(await lateBy(LOOPBACK_PING, 0)).toBeLessThan(200);
    await settle();
    expect(handles()).toEqual(before);
  });

  it('does nothing once interrupted', async () => {
    expect(await LOOPBACK_PING(0, PATIENCE, AbortSignal.abort())).toMatchObject({ reason: 'interrupted' });
  });
});
