import { createServer } from 'node:http';
import { afterEach, describe, expect, it } from 'vitest';
import { iscsiProof, probeIscsi, proveIscsi } from '../../src/probe/iscsi.js';
import type { IscsiSighting } from '../../src/sighting/types.js';
import {
  listing,
  login,
  type Received,
  response,
  type Script,
  type ScriptedTarget,
  startScriptedTarget,
  textAnswer,
  WORKED_ANSWERS,
} from '../support/scripted-iscsi-target.js';
import { ADDRESS, closedPort, listen, tcpServer } from './loopback.js';

const PATIENCE = { timeoutMs: 300, attempts: 1 };
let target: ScriptedTarget | undefined;

afterEach(async () => {
  await target?.close();
  target = undefined;
});

async function ask(script: Script, signal = new AbortController().signal): Promise<IscsiSighting> {
  target = await startScriptedTarget(script);
  return probeIscsi({ address: ADDRESS, port: target.port }, PATIENCE, signal);
}

const securityOf = (pdu: Received) => (pdu.flags & 0x0c) === 0;

describe('a target that answers', () => {
  it.each([
    ['a', 1, 1],
    ['b', 2, 2],
    ['c', 1, 5],
  ] as const)('gives the worked answer (%s) of RFC 7143 appendix C', async (name, targets, portals) => {
    const seen = await ask({ answer: listing(WORKED_ANSWERS[name]) });
    if (seen.outcome !== 'listed') throw new Error(seen.outcome);
    expect(seen.targets).toHaveLength(targets);
    expect(seen.targets[0]?.portals).toHaveLength(portals);
  });

  it('is asked in the order of RFC 7143: security, operational, SendTargets=All, logout, and nothing else', async () => {
    await ask({ answer: listing(WORKED_ANSWERS.a) });
    expect(target?.received.map(({ opcode, text }) => [opcode, text.split('\0')[0]])).toEqual([
      [0x03, 'InitiatorName=iqn.2001-04.com.example:matchmark'],
      [0x03, 'HeaderDigest=None'],
      [0x04, 'SendTargets=All'],
      [0x06, ''],
    ]);
    const [first, second] = target?.received ?? [];
    expect(first?.text).toContain('SessionType=Discovery\0AuthMethod=None\0');
    // RFC 7143 §11.12.5: ISID of type 10; §11.12.6: TSIH 0 at first, then as the target gave it.
    expect((first?.header.readUInt8(8) ?? 0) >> 6).toBe(2);
    expect(first?.header.readUInt16BE(14)).toBe(0);
    expect(second?.header.readUInt16BE(14)).toBe(1);
  });

  it('is read over many PDUs, cut inside a key and inside a name', async () => {
    const whole = await ask({ answer: listing(WORKED_ANSWERS.b) });
    await target?.close();
    const parts = await ask({ answer: listing(WORKED_ANSWERS.b, 7) });
    expect(parts).toEqual(whole);
    const continued = target?.received.filter(({ transferTag }) => transferTag === 0x12345678) ?? [];
    expect(continued).toHaveLength(Math.ceil(WORKED_ANSWERS.b.length / 7) - 1);
    expect(continued.every(({ text }) => text === '')).toBe(true);
  });

  it('may skip to the full-feature phase, negotiate, continue its login text, and ping in between', async () => {
    const steps: Buffer[] = [];
    const list = listing(WORKED_ANSWERS.c);
    const seen = await ask({
      answer: (pdu, index) => {
        if (index === 0) return login(pdu, { flags: 0x40 }, 'AuthMe');
        if (index === 1)
          return login(pdu, { flags: 0x00 }, 'thod=None\0ErrorRecoveryLevel=2\0MaxConnections=4\0X-loft=1\0');
        if (index === 2) {
          steps.push(Buffer.from(pdu.text));
          return login(pdu, { flags: 0x83 });
        }
        const ping = response({ opcode: 0x20, flags: 0x80, taskTag: 0xffffffff, transferTag: 0x77 });
        if (pdu.opcode === 0x04)
          return [
            ping,
            response({ opcode: 0x32, flags: 0x80, taskTag: 0xffffffff }),
            list(pdu, index) as Buffer,
          ];
        return list(pdu, index);
      },
    });
    expect(seen.outcome).toBe('listed');
    expect(steps.join()).toBe('ErrorRecoveryLevel=0\0MaxConnections=Irrelevant\0X-loft=NotUnderstood\0');
    const pong = target?.received.find(({ opcode }) => opcode === 0x00);
    expect(pong).toMatchObject({ taskTag: 0xffffffff, transferTag: 0x77 });
  });

  it('is cut where its list does not end, and says so', async () => {
    const list = listing('');
    let part = 0;
    const seen = await ask({
      answer: (pdu, index) => {
        if (pdu.opcode !== 0x04) return list(pdu, index);
        part += 1;
        const names = Array.from(
          { length: 200 },
          (_, name) => `TargetName=iqn.2001-04.com.example:${part}-${name}\0`,
        );
        return textAnswer(pdu, names.join(''), { flags: 0x40, transferTag: 1 });
      },
    });
    expect(seen).toMatchObject({ outcome: 'listed', cut: expect.toSatisfy((cut) => cut > 0) });
    if (seen.outcome !== 'listed') throw new Error(seen.outcome);
    expect(seen.targets).toHaveLength(256);
  });

  it('that stops in the middle of its list has told what came before', async () => {
    const list = listing(WORKED_ANSWERS.b, 150);
    let parts = 0;
    const seen = await ask({
      answer: (pdu, index) => {
        if (pdu.opcode === 0x04) parts += 1;
        return parts > 1 ? undefined : list(pdu, index);
      },
    });
    expect(seen).toMatchObject({ outcome: 'listed', cut: 1 });
    if (seen.outcome !== 'listed') throw new Error(seen.outcome);
    expect(seen.targets.map(({ portals }) => portals.length)).toEqual([2]);
  });

  it('is one connection for the service and its list', async () => {
    target = await startScriptedTarget({ answer: listing(WORKED_ANSWERS.b) });
    const service = { name: 'iscsi-target', protocol: 'tcp', port: target.port } as const;
    const answer = await proveIscsi({ address: ADDRESS, service }, PATIENCE, new AbortController().signal);
    expect(answer.tcp).toMatchObject({ outcome: 'accepted', service: 'iscsi-target', port: target.port });
    expect(answer.proof).toMatchObject({ outcome: 'proven', detail: '2 targets at 2 portals' });
    expect(answer.iscsi).toMatchObject({ outcome: 'listed' });
    expect(target.connections()).toBe(1);
  });

  it('is listed even where it does not answer the logout, without waiting for it', async () => {
    const list = listing(WORKED_ANSWERS.a);
    const startedAt = Date.now();
    target = await startScriptedTarget({
      answer: (pdu, index) => (pdu.opcode === 0x06 ? undefined : list(pdu, index)),
    });
    const seen = await probeIscsi(
      { address: ADDRESS, port: target.port },
      { timeoutMs: 5000, attempts: 1 },
      new AbortController().signal,
    );
    expect(seen.outcome).toBe('listed');
    expect(Date.now() - startedAt).toBeLessThan(2000);
  });
});

describe('a target that does not list', () => {
  /** Status values of RFC 7143 §11.13.5. */
  it.each([
    [0x0201, 'authentication-required', 'no-access'],
    [0x0202, 'rejected', 'no-access'],
    [0x0207, 'rejected', 'no-access'],
    [0x0301, 'rejected', 'device-trouble'],
  ])('with status %i is %s', async (status, outcome, cause) => {
    const seen = await ask({ answer: (pdu) => [login(pdu, { flags: 0x04, status }), 'close'] });
    expect(seen).toMatchObject({ outcome, cause, status: status.toString(16).padStart(4, '0') });
  });

  it.each([0x0101, 0x0102])('with status %i redirects, and says where to', async (status) => {
    const seen = await ask({
      answer: (pdu) => [login(pdu, { flags: 0x00, status }, 'TargetAddress=192.0.2.46:3260\0'), 'close'],
    });
    expect(seen).toMatchObject({
      outcome: 'redirected',
      cause: 'redirected-away',
      detail: expect.stringContaining('192.0.2.46:3260'),
    });
  });

  it('that answers AuthMethod=CHAP wants authentication, and is given none', async () => {
    const seen = await ask({ answer: (pdu) => login(pdu, { flags: 0x00 }, 'AuthMethod=CHAP\0') });
    expect(seen).toMatchObject({
      outcome: 'authentication-required',
      detail: expect.stringContaining('CHAP'),
    });
    expect(target?.received).toHaveLength(1);
  });

  it('that keeps us in the security stage wants authentication', async () => {
    const seen = await ask({ answer: (pdu) => login(pdu, { flags: 0x00 }) });
    expect(seen.outcome).toBe('authentication-required');
    expect(target?.received.length).toBeLessThan(20);
  });

  it('that rejects the request is rejected', async () => {
    const reject = response({ opcode: 0x3f, flags: 0x80, taskTag: 0xffffffff });
    reject.writeUInt8(0x0b, 2);
    expect(await ask({ answer: () => reject })).toEqual({
      outcome: 'rejected',
      cause: 'no-access',
      detail: 'the target rejected a request, reason 0x0b',
    });
  });
});

describe('something else on the port', () => {
  it('that greets like SSH is not iSCSI', async () => {
    const seen = await ask({ greeting: Buffer.from('SSH-2.0-loft\r\n'), answer: () => undefined });
    expect(seen).toMatchObject({ outcome: 'not-iscsi', detail: expect.stringContaining('SSH-2.0-loft') });
  });

  it('that is a web server is not iSCSI', async () => {
    const server = await listen(createServer());
    const seen = await probeIscsi(
      { address: ADDRESS, port: server.port },
      PATIENCE,
      new AbortController().signal,
    );
    await server.close();
    expect(seen).toMatchObject({ outcome: 'not-iscsi', detail: expect.stringContaining('HTTP/1.1 400') });
  });

  it.each([
    [
      'accepts and says nothing',
      () => undefined,
      'connected, then no answer to the question',
      'accepted-and-silent',
    ],
    [
      'accepts and closes',
      () => 'close' as const,
      'connected, then closed without an answer',
      'closed-without-answer',
    ],
    [
      'closes inside a PDU',
      (pdu: Received) => [login(pdu).subarray(0, 20), 'close'] as const,
      'closed in the middle',
      'truncated',
    ],
    [
      'stops after the login',
      (pdu: Received) => (securityOf(pdu) ? login(pdu) : undefined),
      'silent in the middle',
      'timeout',
    ],
  ])('that %s is half-open', async (_, answer, detail, cause) => {
    const seen = await ask({ answer });
    expect(seen).toMatchObject({ outcome: 'half-open', cause, detail: expect.stringContaining(detail) });
  });

  const longData = Buffer.alloc(48);
  longData.set([0x23, 0x81, 0, 0, 0, 0xff, 0xff, 0xff]);
  const list = listing('');
  it.each([
    ['declares 16 MiB', () => longData],
    ['goes back a stage', (pdu: Received) => login(pdu, { flags: 0x85 })],
    ['sends text that is none', (pdu: Received) => login(pdu, {}, 'no key here\0')],
    ['answers a login with text', (pdu: Received) => [login(pdu), textAnswer(pdu, '')]],
    [
      'continues for ever',
      (pdu: Received, i: number) =>
        pdu.opcode === 0x04
          ? textAnswer(pdu, 'x'.repeat(8000), { flags: 0x40, transferTag: 1 })
          : list(pdu, i),
    ],
    [
      'answers another task',
      (pdu: Received, i: number) =>
        pdu.opcode === 0x04 ? textAnswer(pdu, '', { taskTag: 99 }) : list(pdu, i),
    ],
    [
      'lists an address of no target',
      (pdu: Received, i: number) =>
        pdu.opcode === 0x04 ? textAnswer(pdu, 'TargetAddress=192.0.2.1\0') : list(pdu, i),
    ],
  ])('that %s is garbage', async (_, answer) => {
    expect(await ask({ answer: answer as Script['answer'] })).toMatchObject({ outcome: 'garbage' });
  });

  it('that takes the connection and says nothing costs one patience, however many tries it has', async () => {
    const startedAt = performance.now();
    target = await startScriptedTarget({ answer: () => undefined });
    const seen = await probeIscsi(
      { address: ADDRESS, port: target.port },
      { timeoutMs: 200, attempts: 5 },
      new AbortController().signal,
    );
    expect(seen).toMatchObject({ outcome: 'half-open', cause: 'accepted-and-silent' });
    expect(performance.now() - startedAt).toBeLessThan(700);
    expect(target.connections()).toBe(1);
  });

  it('that drips octets without end costs a bounded time', async () => {
    const startedAt = Date.now();
    const server = await tcpServer((socket) => {
      socket.write(Uint8Array.of(0x23));
      const drip = setInterval(() => socket.write(Uint8Array.of(0)), 20);
      socket.once('close', () => clearInterval(drip));
    });
    const seen = await probeIscsi(
      { address: ADDRESS, port: server.port },
      PATIENCE,
      new AbortController().signal,
    );
    await server.close();
    expect(seen.outcome).toBe('half-open');
    // Two patiences, and slack for a busy machine.
    expect(Date.now() - startedAt).toBeLessThan(2 * PATIENCE.timeoutMs + 600);
  });
});

it('tells a closed port from a target', async () => {
  const port = await closedPort();
  expect(await probeIscsi({ address: ADDRESS, port }, PATIENCE, new AbortController().signal)).toMatchObject({
    outcome: 'refused',
  });
});

it('stops at once when interrupted, and leaves no connection', async () => {
  const controller = new AbortController();
  setTimeout(() => controller.abort(), 50);
  expect(await ask({ answer: () => undefined }, controller.signal)).toEqual({
    outcome: 'not-run',
    cause: 'interrupted',
    reason: 'interrupted',
  });
  await new Promise((resolve) => setTimeout(resolve, 50));
  expect(target?.openSockets()).toBe(0);
});

describe('the proof of the service', () => {
  const service = { name: 'iscsi-target', protocol: 'tcp', port: 3260 } as const;
  const portals = [
    { address: '192.0.2.45', port: 3260, tag: 1 },
    { address: '192.0.2.46', port: 3260, tag: 2 },
  ];

  it.each([
    [
      {
        outcome: 'listed',
        targets: [
          { name: 'a', portals },
          { name: 'b', portals },
        ],
      },
      'proven',
      '2 targets at 2 portals',
    ],
    [{ outcome: 'authentication-required', detail: 'CHAP' }, 'proven', 'CHAP'],
    [{ outcome: 'rejected', status: '0301' }, 'proven', undefined],
    [{ outcome: 'redirected' }, 'proven', undefined],
    [{ outcome: 'not-iscsi', detail: 'HTTP' }, 'other-protocol', 'HTTP'],
    [{ outcome: 'garbage' }, 'other-protocol', undefined],
    [{ outcome: 'half-open' }, 'silent', undefined],
    [{ outcome: 'no-reply' }, 'silent', undefined],
    [{ outcome: 'refused' }, 'refused', undefined],
    [{ outcome: 'unreachable' }, 'unreachable', undefined],
    [{ outcome: 'not-run', cause: 'interrupted', reason: 'interrupted' }, 'not-run', undefined],
  ] as const)('of %o is %s', (sighting, outcome, detail) => {
    const proof = iscsiProof(sighting, service);
    expect(proof).toMatchObject({ service: 'iscsi-target', port: 3260, outcome });
    expect(proof.detail).toBe(detail);
  });
});
