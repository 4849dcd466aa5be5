/**
 * What a network or a device may do to a question, line by line: how long each costs at most, and what is said of it. A bound is stated in
 * patiences (`timeoutMs`): connecting may take as many as there are tries, talking takes one until the first octet and two in all.
 * What a device of which many services do such things may cost together is in tests/run/device-cost.test.ts, against the clock.
 * A device that drops everything is in tests/run/silent-device.test.ts, with simulated time, and tests/lab/silent-device.test.ts.
 * Loss of TCP segments is in tests/lab/loss.test.ts, since only the kernel can lose them.
 */
import { createServer as createHttp, type RequestListener } from 'node:http';
import { createServer as createHttps } from 'node:https';
import { connect, type Socket } from 'node:net';
import { createServer as createTls } from 'node:tls';
import { generate } from 'selfsigned';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { probeRedfish } from '../../src/probe/redfish.js';
import { proveService } from '../../src/probe/services.js';
import { probeSnmp } from '../../src/snmp/agent.js';
import { readingTables } from '../../src/snmp/columns.js';
import { readInterfaces } from '../../src/snmp/if-mib.js';
import { type Misbehaviour, type Objects, scriptedAgent } from '../snmp/scripted-agent.js';
import { community } from '../snmp/support.js';
import { login, response, startScriptedTarget, textAnswer } from '../support/scripted-iscsi-target.js';
import { ADDRESS, closedPort, listen, never, service, tcpServer } from './loopback.js';

const PATIENCE = { timeoutMs: 400, attempts: 3 } as const;
/** For a machine that is busy with other tests; the faults without a bound would run for ever. */
const SLACK_MS = 1500;

const closers: (() => Promise<void>)[] = [];
afterAll(async () => {
  for (const close of closers) await close();
});
let pems: { key: string; cert: string };
beforeAll(async () => {
  const made = await generate([{ name: 'commonName', value: 'vault-1-a.example' }], { keySize: 2048 });
  pems = { key: made.private, cert: made.cert };
});

/** Opens the faulty peer and gives its port. */
type Peer = () => Promise<number>;

const opened = (server: Promise<{ readonly port: number; close(): Promise<void> }>): Promise<number> =>
  server.then(({ port, close }) => {
    closers.push(close);
    return port;
  });
const tcp =
  (onSocket: (socket: Socket) => void): Peer =>
  () =>
    opened(tcpServer(onSocket));
const http =
  (listener: RequestListener): Peer =>
  () =>
    opened(listen(createHttp(listener)));
const https =
  (listener: RequestListener): Peer =>
  () =>
    opened(listen(createHttps(pems, listener)));

/** One octet of the text at a time, then for ever the last ten again. */
const drip = (text: string) => (socket: Socket) => {
  let at = 0;
  const timer = setInterval(() => {
    socket.write(text[at] ?? '');
    at = at + 1 < text.length ? at + 1 : Math.max(0, text.length - 10);
  }, 60);
  socket.on('close', () => clearInterval(timer));
};
/** As fast as it goes without keeping this process, which plays both sides, from anything else. */
const flood = (text: string | Buffer) => (socket: Socket) => {
  const much = Buffer.concat(Array<Buffer>(100).fill(Buffer.from(text)));
  const more = () => {
    if (!socket.destroyed) socket.write(much, () => setTimeout(more, 2));
  };
  more();
};
const SILENT = tcp(() => {});
const GARBAGE = Buffer.from(Array.from({ length: 4096 }, (_, index) => (index * 7919 + 3) & 0xff));
const random = tcp((socket) => socket.write(GARBAGE));

/** A TLS server whose handshake stops after so many octets. */
const halfHandshake: Peer = async () => {
  const inner = await opened(listen(createHttps(pems)));
  return opened(
    tcpServer((socket) => {
      const through = connect(inner, ADDRESS);
      socket.pipe(through);
      through.once('data', (bytes: Buffer) => socket.write(bytes.subarray(0, 60)));
      through.on('error', () => {});
      socket.on('close', () => through.destroy());
    }),
  );
};

const iscsi =
  (answer: Parameters<typeof startScriptedTarget>[0]['answer']): Peer =>
  () =>
    opened(startScriptedTarget({ answer }));
const loggedIn =
  (then: Parameters<typeof startScriptedTarget>[0]['answer']) =>
  (...[pdu, index]: Parameters<typeof then>) =>
    pdu.opcode === 0x03 ? login(pdu) : then(pdu, index);

type Row = readonly [
  fault: string,
  service: string,
  peer: Peer,
  patiences: number,
  outcome: string,
  cause: string | undefined,
];

/** Whatever is planned there, of a port that takes the connection. */
const EVERY = ['ssh', 'http', 'https', 'iscsi-target', 'nfs', 'microsoft-ds', 'nvme'] as const;

const TCP: readonly Row[] = [
  // --- The connection -------------------------------------------------------------------------------------------------------------
  ['nobody listens there', 'https', closedPort, 1, 'refused', 'refused'],
  ...EVERY.map(
    (name): Row => [
      'takes the connection and never speaks',
      name,
      SILENT,
      1,
      'silent',
      'accepted-and-silent',
    ],
  ),
  ...EVERY.map(
    (name): Row => [
      'takes the connection and closes it',
      name,
      tcp((socket) => socket.once('data', () => socket.end()) && socket.end()),
      2,
      'silent',
      'closed-without-answer',
    ],
  ),
  [
    'breaks the connection off',
    'ssh',
    tcp((socket) => void setTimeout(() => socket.resetAndDestroy(), 50)),
    1,
    'silent',
    'reset',
  ],
  ['sends random octets', 'ssh', random, 1, 'other-protocol', 'other-protocol'],
  ['sends random octets', 'http', random, 1, 'other-protocol', 'other-protocol'],
  ['sends random octets', 'https', random, 2, 'other-protocol', 'other-protocol'],
  ['sends random octets', 'iscsi-target', random, 1, 'other-protocol', 'other-protocol'],
  ['sends random octets', 'nfs', random, 1, 'other-protocol', 'other-protocol'],
  ['sends random octets', 'microsoft-ds', random, 1, 'other-protocol', 'other-protocol'],
  ['sends random octets', 'nvme', random, 1, 'other-protocol', 'other-protocol'],
  // --- SSH ------------------------------------------------------------------------------------------------------------------------
  ['says its banner without end', 'ssh', tcp(flood('welcome\r\n')), 1, 'other-protocol', 'other-protocol'],
  [
    'says one line without end',
    'ssh',
    tcp(flood('SSH-2.0-'.repeat(99))),
    1,
    'other-protocol',
    'other-protocol',
  ],
  ['says an octet at a time', 'ssh', tcp(drip('x'.repeat(99))), 2, 'other-protocol', 'other-protocol'],
  ['says its line an octet at a time', 'ssh', tcp(drip('SSH-2\n')), 2, 'proven', undefined],
  // --- HTTP -----------------------------------------------------------------------------------------------------------------------
  [
    'says its header an octet at a time',
    'http',
    tcp(drip(`HTTP/1.1 200 OK\r\n${'X: y\r\n'.repeat(9)}`)),
    2,
    'silent',
    'timeout',
  ],
  [
    'has a header without end',
    'http',
    tcp((socket) => socket.write('HTTP/1.1 200 OK\r\n', () => flood(`X: ${'y'.repeat(500)}\r\n`)(socket))),
    1,
    'other-protocol',
    'too-much',
  ],
  [
    'has a body without end',
    'http',
    tcp((socket) => socket.write('HTTP/1.1 200 OK\r\n\r\n', () => flood('z'.repeat(4000))(socket))),
    1,
    'proven',
    undefined,
  ],
  [
    'says its body an octet at a time',
    'http',
    http((_, reply) => {
      const timer = setInterval(() => reply.write('z'), 100);
      reply.on('close', () => clearInterval(timer));
    }),
    2,
    'proven',
    'timeout',
  ],
  [
    'promises a body and never sends it',
    'http',
    http((_, reply) => reply.writeHead(200, { 'Content-Length': 99 }).flushHeaders()),
    2,
    'proven',
    'timeout',
  ],
  [
    'redirects to itself for ever',
    'http',
    http((request, reply) => reply.writeHead(302, { Location: `${request.url}x` }).end()),
    1,
    'proven',
    undefined,
  ],
  [
    'redirects elsewhere',
    'http',
    http((_, reply) => reply.writeHead(302, { Location: 'http://198.51.100.7/' }).end()),
    1,
    'proven',
    'redirected-away',
  ],
  [
    'redirects to a page that never answers',
    'http',
    http((request, reply) => void (request.url === '/' && reply.writeHead(302, { Location: '/x' }).end())),
    2,
    'proven',
    undefined,
  ],
  ['is in trouble', 'http', http((_, reply) => reply.writeHead(503).end()), 1, 'proven', 'device-trouble'],
  [
    'compresses what was not asked to be',
    'http',
    http((_, reply) => reply.writeHead(200, { 'Content-Encoding': 'gzip' }).end(GARBAGE)),
    1,
    'proven',
    undefined,
  ],
  [
    'speaks TLS where HTTP is planned',
    'http',
    tcp((socket) => socket.once('data', () => socket.end(Buffer.from('1503010002020a', 'hex')))),
    1,
    'other-protocol',
    'other-protocol',
  ],
  // --- TLS ------------------------------------------------------------------------------------------------------------------------
  [
    'speaks HTTP where TLS is planned',
    'https',
    http((_, reply) => reply.end()),
    2,
    'other-protocol',
    'other-protocol',
  ],
  ['has no certificate', 'https', () => opened(listen(createTls({}))), 2, 'proven', 'tls-alert'],
  ['stops in the middle of the handshake', 'https', halfHandshake, 2, 'silent', 'timeout'],
  [
    'says its handshake an octet at a time',
    'https',
    tcp(drip('\x16\x03\x03\x0f\xff\x02\x00'.padEnd(99, '\0'))),
    2,
    'silent',
    'timeout',
  ],
  ['shakes hands and never answers', 'https', https(() => {}), 2, 'silent', 'accepted-and-silent'],
  [
    'has a body without end',
    'https',
    https((_, reply) => flood('z'.repeat(4000))(reply.socket ?? fail())),
    2,
    'other-protocol',
    'other-protocol',
  ],
  // --- iSCSI ----------------------------------------------------------------------------------------------------------------------
  ['stops after the login', 'iscsi-target', iscsi(loggedIn(() => undefined)), 2, 'silent', 'timeout'],
  [
    'keeps us in the login for ever',
    'iscsi-target',
    iscsi((pdu) => login(pdu, { flags: 0x04 })),
    1,
    'other-protocol',
    'too-much',
  ],
  [
    'wants a name and a password',
    'iscsi-target',
    iscsi((pdu) => login(pdu, { flags: 0 }, 'AuthMethod=CHAP\0')),
    1,
    'proven',
    'no-access',
  ],
  [
    'has no room for us',
    'iscsi-target',
    iscsi((pdu) => login(pdu, { status: 0x0302 })),
    1,
    'proven',
    'device-trouble',
  ],
  [
    'sends us to another address',
    'iscsi-target',
    iscsi((pdu) => login(pdu, { status: 0x0101 }, 'TargetAddress=198.51.100.7:3260\0')),
    1,
    'proven',
    'redirected-away',
  ],
  [
    'lists targets without end',
    'iscsi-target',
    iscsi(
      loggedIn((pdu) =>
        textAnswer(pdu, `TargetName=iqn.2001-04.com.example:${'x'.repeat(8000)}\0`, {
          flags: 0x40,
          transferTag: 1,
        }),
      ),
    ),
    2,
    'proven',
    undefined,
  ],
  [
    'sends text without end that is none',
    'iscsi-target',
    iscsi(loggedIn((pdu) => textAnswer(pdu, 'x'.repeat(60_000), { flags: 0x40, transferTag: 1 }))),
    2,
    'other-protocol',
    'too-much',
  ],
  [
    'pings without end instead of answering',
    'iscsi-target',
    tcp((socket) =>
      socket.once('data', (bytes) => {
        socket.write(
          login({ opcode: 3, flags: bytes[1] ?? 0, taskTag: 1, transferTag: 0, header: bytes, text: '' }),
        );
        flood(response({ opcode: 0x20, flags: 0x80, taskTag: 0xffffffff, transferTag: 7 }))(socket);
      }),
    ),
    2,
    'other-protocol',
    'too-much',
  ],
  [
    'promises 16 MiB',
    'iscsi-target',
    tcp((socket) => socket.write(Buffer.from(`2381${'00'.repeat(3)}ffffff${'00'.repeat(40)}`, 'hex'))),
    1,
    'other-protocol',
    'malformed',
  ],
];

function fail(): never {
  throw new Error('the connection is gone');
}

describe.concurrent('over TCP', () => {
  it.each(TCP)('%s, planned %s', async (_fault, name, peer, patiences, outcome, cause) => {
    const port = await peer();
    const startedAt = performance.now();
    const { proof } = await proveService(
      { address: ADDRESS, service: service(name, port) },
      PATIENCE,
      never(),
    );
    const tookMs = performance.now() - startedAt;
    expect({ outcome: proof.outcome, cause: proof.cause }).toEqual({ outcome, cause });
    expect(tookMs).toBeLessThan(patiences * PATIENCE.timeoutMs + SLACK_MS);
  });

  it('Redfish behind a page that never ends costs no more than a page', async () => {
    const port = await https((_, reply) => flood(' '.repeat(4000))(reply.socket ?? fail()))();
    const startedAt = performance.now();
    expect(await probeRedfish({ address: ADDRESS, port }, PATIENCE, never())).toMatchObject({
      outcome: 'none',
    });
    expect(performance.now() - startedAt).toBeLessThan(2 * PATIENCE.timeoutMs + SLACK_MS);
  });
});

/** RFC 3418: the system group; RFC 6933: entPhysicalSerialNum; RFC 2863: ifDescr. */
const SYSTEM: Objects = [
  ['1.3.6.1.2.1.1.1.0', { text: 'Loft vault' }],
  ['1.3.6.1.2.1.1.5.0', { text: 'vault-1-a' }],
];
const SERIALS: Objects = Array.from(
  { length: 300 },
  (_, row) => [`1.3.6.1.2.1.47.1.1.1.1.11.${row + 1}`, { text: `SERIAL-${row}` }] as const,
);
const PORTS: Objects = Array.from(
  { length: 5000 },
  (_, row) => [`1.3.6.1.2.1.2.2.1.2.${row + 1}`, { text: `port ${row}` }] as const,
);

/** Three of five questions are lost, the answers of one of them: 60 % of what is sent comes to nothing. */
const loses = (lost: readonly number[]) => (question: number) => lost.includes(question % 5);

type AgentRow = readonly [
  fault: string,
  misbehaviour: Misbehaviour,
  outcome: string,
  cause: string | undefined,
];

const AGENT: readonly AgentRow[] = [
  ['never answers', { loses: () => true }, 'no-reply', 'timeout'],
  ['loses one question in five', { loses: loses([0]) }, 'replied', undefined],
  ['loses two questions in five', { loses: loses([0, 2]) }, 'replied', undefined],
  ['loses three questions in five', { loses: loses([0, 2, 3]) }, 'replied', undefined],
  [
    'answers in another order than it was asked',
    { delayMs: (question) => (question % 3) * 30 },
    'replied',
    undefined,
  ],
  [
    'answers the question only after it was put again',
    { delayMs: () => 1.5 * PATIENCE.timeoutMs },
    'replied',
    undefined,
  ],
  ['answers when nobody waits any more', { delayMs: () => 30_000 }, 'no-reply', 'timeout'],
  ['sends random octets', { bytes: GARBAGE.subarray(0, 900) }, 'no-reply', 'other-protocol'],
  ['answers another question than it was asked, by its number', { idOff: 1 }, 'no-reply', 'timeout'],
  ['answers from another address than it was asked at', { from: '127.0.0.3' }, 'no-reply', 'wrong-source'],
  ['answers everything three times', { times: 3 }, 'replied', undefined],
  ['sends nothing in its datagrams', { bytes: Buffer.alloc(0) }, 'no-reply', 'other-protocol'],
  [
    'goes round in its tables',
    { next: (oid, honest) => (oid.endsWith('.11.250') ? '1.3.6.1.2.1.47.1.1.1.1.11.1' : honest) },
    'replied',
    undefined,
  ],
  [
    'gives one row for ever',
    { next: (oid, honest) => (oid.endsWith('.11.30') ? oid : honest) },
    'replied',
    undefined,
  ],
];

describe.concurrent('over UDP', () => {
  // At most as many patiences as there are tries, and two seconds for the rest of an agent that answers.
  it.each(AGENT)('an SNMP agent that %s', async (_fault, misbehaviour, outcome, cause) => {
    const port = await opened(scriptedAgent([...SYSTEM, ...SERIALS], misbehaviour));
    const target = { address: ADDRESS, service: service('snmp', port), credential: community(port) };
    const startedAt = performance.now();
    const { sighting } = await probeSnmp(target, { ...PATIENCE, attempts: 5 }, never());
    const tookMs = performance.now() - startedAt;
    expect({ outcome: sighting.outcome, cause: 'cause' in sighting ? sighting.cause : undefined }).toEqual({
      outcome,
      cause,
    });
    expect(tookMs).toBeLessThan(5 * PATIENCE.timeoutMs + 2000 + SLACK_MS);
  });

  it.each([
    ['has rows without end', {}, 'too-much', 2048],
    ['answers each question after a while', { delayMs: () => 100 }, 'bound-reached', 1],
    [
      'goes round',
      { next: (oid: string, honest?: string) => (oid.endsWith('.40') ? oid : honest) },
      'malformed',
      1,
    ],
    ['stops answering', { loses: (question: number) => question > 3 }, 'timeout', 1],
  ] as const)('a table of an agent that %s', async (_fault, misbehaviour, cutBecause, rows) => {
    const port = await opened(scriptedAgent(PORTS, misbehaviour));
    const startedAt = performance.now();
    const target = { address: ADDRESS, credential: community(port) };
    const budgetMs = 1500;
    const read = await readingTables(
      target,
      { timeoutMs: 300, attempts: 2 },
      never(),
      { count: 0 },
      async (reader) => ({ count: (await readInterfaces(reader)).size }),
      budgetMs,
    );
    expect(read.cutBecause).toBe(cutBecause);
    expect(read.count).toBeGreaterThanOrEqual(rows);
    expect(performance.now() - startedAt).toBeLessThan(budgetMs + SLACK_MS);
  });
});
