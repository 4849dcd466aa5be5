import { createServer } from 'node:http';
import { describe, expect, it } from 'vitest';
import { proveNfs, proveSunrpc } from '../../src/probe/nfs.js';
import { proveNvme } from '../../src/probe/nvme.js';
import type { ServiceProbe } from '../../src/probe/service-probe.js';
import { proveSmb } from '../../src/probe/smb.js';
import { fromHex } from '../support/hex.js';
import { ADDRESS, closedPort, listen, never, PATIENCE, service, tcpServer } from './loopback.js';

/** What every proof by one question owes, whatever its protocol. */
const PROBES: readonly { readonly name: string; readonly prove: ServiceProbe }[] = [
  { name: 'nfs', prove: proveNfs },
  { name: 'sunrpc', prove: proveSunrpc },
  { name: 'microsoft-ds', prove: proveSmb },
  { name: 'nvme', prove: proveNvme },
];

describe.each(PROBES)('the proof of $name', ({ name, prove }) => {
  const ask = (port: number, signal = never()) =>
    prove({ address: ADDRESS, service: service(name, port) }, PATIENCE, signal);

  it('is silent where a port accepts and says nothing', async () => {
    const server = await tcpServer((socket) => socket.resume());
    const { proof } = await ask(server.port);
    expect(proof).toMatchObject({ service: name, port: server.port, outcome: 'silent' });
    await server.idle();
    await server.close();
  });

  it('is silent where a port accepts and closes', async () => {
    const server = await tcpServer((socket) => socket.end());
    expect((await ask(server.port)).proof).toMatchObject({ outcome: 'silent' });
    await server.close();
  });

  it('is refused where nothing listens', async () => {
    expect((await ask(await closedPort())).proof).toMatchObject({ outcome: 'refused' });
  });

  it('is other-protocol where something else greets, with its words made harmless', async () => {
    const server = await tcpServer((socket) => {
      socket.write('220 loft \u001b[2J ready, more of it, and more, and more\r\n');
    });
    const { proof } = await ask(server.port);
    await server.close();
    expect(proof).toMatchObject({ outcome: 'other-protocol', detail: expect.stringContaining('220 loft') });
    expect(proof.detail).not.toContain('\u001b');
  });

  it('is other-protocol or silent at a web server', async () => {
    const server = await listen(createServer());
    expect(['other-protocol', 'silent']).toContain((await ask(server.port)).proof.outcome);
    await server.close();
  });

  it('ends in bounded time and memory where octets come without end', async () => {
    const server = await tcpServer((socket) => {
      const flood = setInterval(() => socket.write(new Uint8Array(16_384)), 1);
      socket.once('close', () => clearInterval(flood));
    });
    const startedAt = Date.now();
    await ask(server.port);
    expect(Date.now() - startedAt).toBeLessThan(PATIENCE.timeoutMs + 700);
    await server.idle();
    await server.close();
  });

  it('stops at once when interrupted and leaves no connection', async () => {
    const server = await tcpServer((socket) => socket.resume());
    const controller = new AbortController();
    setTimeout(() => controller.abort(), 30);
    expect((await ask(server.port, controller.signal)).proof).toMatchObject({
      outcome: 'not-run',
      reason: 'interrupted',
    });
    await server.idle();
    await server.close();
  });
});

/** Answers an RPC call by its version: xid copied, the rest by hand after RFC 5531 §9. */
function rpcServer(answers: Readonly<Record<number, string>>) {
  return tcpServer((socket) => {
    socket.on('data', (bytes) => {
      for (let at = 0; at + 44 <= bytes.length; at += 44) {
        const xid = bytes.subarray(at + 4, at + 8).toString('hex');
        const rest = answers[bytes.readUInt32BE(at + 20)];
        if (rest === undefined) continue;
        const message = fromHex(xid + rest);
        socket.write(Buffer.concat([Buffer.from([0x80, 0, 0, message.length]), message]));
      }
    });
  });
}

const ACCEPTED = `00000001${'00000000'.repeat(3)}`;
const SUCCESS = `${ACCEPTED}00000000`;

describe('NFS by the NULL call', () => {
  it.each([
    ['both versions', { 3: SUCCESS, 4: SUCCESS }, 'proven', 'NFS version 3, 4'],
    ['version 4 alone', { 3: `${ACCEPTED}000000020000000400000004`, 4: SUCCESS }, 'proven', 'NFS version 4'],
    ['version 3 alone, and silence to the other', { 3: SUCCESS }, 'proven', 'NFS version 3'],
    [
      'version 2 only',
      { 3: `${ACCEPTED}000000020000000200000002`, 4: `${ACCEPTED}000000020000000200000002` },
      'proven',
      'NFS, but versions 2 to 2 only',
    ],
    [
      'no NFS program',
      { 3: `${ACCEPTED}00000001`, 4: `${ACCEPTED}00000001` },
      'other-protocol',
      'RPC answers, but has no NFS program',
    ],
  ])('%s', async (_, answers, outcome, detail) => {
    const server = await rpcServer(answers);
    const { proof } = await proveNfs(
      { address: ADDRESS, service: service('nfs', server.port) },
      PATIENCE,
      never(),
    );
    await server.close();
    expect(proof).toMatchObject({ outcome, detail });
  });
});

it('SMB: the dialect of a NEGOTIATE reply is the proof, and nothing is asked after it', async () => {
  const header = `fe534d4240000000${'00000000'}0000010001000000${'00'.repeat(44)}`;
  const body = `4100010010020000${'11'.repeat(16)}07000000${'00001000'.repeat(3)}${'00'.repeat(16)}8000000000000000`;
  const got: Buffer[] = [];
  const server = await tcpServer((socket) => {
    socket.on('data', (bytes) => {
      got.push(bytes);
      socket.write(fromHex(`00000080${header}${body}`));
    });
  });
  const { proof } = await proveSmb(
    { address: ADDRESS, service: service('microsoft-ds', server.port) },
    PATIENCE,
    never(),
  );
  await server.close();
  expect(proof).toMatchObject({ outcome: 'proven', detail: 'SMB 2.1' });
  expect(got).toHaveLength(1);
});

it('NVMe/TCP: the transport greeting is the proof, and no command is sent', async () => {
  const got: Buffer[] = [];
  const server = await tcpServer((socket) => {
    socket.on('data', (bytes) => {
      got.push(bytes);
      socket.write(fromHex(`0100800080000000${'00'.repeat(120)}`));
    });
  });
  const { proof } = await proveNvme(
    { address: ADDRESS, service: service('nvme', server.port) },
    PATIENCE,
    never(),
  );
  await server.close();
  expect(proof).toMatchObject({ outcome: 'proven', detail: 'NVMe/TCP, format version 0' });
  expect(Buffer.concat(got)).toHaveLength(128);
});
