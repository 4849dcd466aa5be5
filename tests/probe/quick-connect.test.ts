import { setMaxListeners } from 'node:events';
import { createServer } from 'node:net';
import { afterEach, describe, expect, it } from 'vitest';
import { type BatchedConnection, createBatch } from '../../src/probe/batch.js';
import { connectSender } from '../../src/probe/connect-sender.js';
import { quickConnect } from '../../src/probe/quick-connect.js';
import { proveService } from '../../src/probe/services.js';
import type { Patience } from '../../src/probe/types.js';
import { ADDRESS, type Listening, listen, PATIENCE } from './loopback.js';

const open: Listening[] = [];
afterEach(async () => {
  for (const server of open.splice(0)) await server.close();
});

async function aPort(): Promise<Listening> {
  const server = await listen(createServer());
  open.push(server);
  return server;
}

/** A port that nobody listens on: one that was free a moment ago. */
async function aClosedPort(): Promise<number> {
  const server = await listen(createServer());
  await server.close();
  return server.port;
}

const { signal } = new AbortController();
setMaxListeners(0, signal);

function bare(port: number, connect?: Patience, name = `tcp/${port}`) {
  return { address: ADDRESS, service: { name, protocol: 'tcp' as const, port }, connect };
}

/** The program told this of every connection. */
function told(answer: BatchedConnection) {
  const lines: string[] = [];
  const probe = quickConnect((line, _, take) => {
    lines.push(line);
    return take(answer);
  }, proveService);
  return { lines, probe };
}

describe('a bare port in great number', () => {
  it('gives the same answer by the program as by a connection of our own', async () => {
    const { port } = await aPort();
    const target = bare(port, PATIENCE);
    const { lines, probe } = told({ rttMs: 0.25 });
    const quick = await probe(target, PATIENCE, signal);
    const usual = await proveService(target, PATIENCE, signal);
    expect(quick.proof).toEqual(usual.proof);
    expect(quick.tcp).toEqual({ ...usual.tcp, connectMs: 0.25 });
    expect(lines).toEqual([`${ADDRESS} ${port}`]);
    const closed = bare(await aClosedPort(), PATIENCE);
    expect(await told('refused').probe(closed, PATIENCE, signal)).toEqual(
      await proveService(closed, PATIENCE, signal),
    );
  });

  it('says what it spared, and at which try it was answered', async () => {
    const { port } = await aPort();
    const heard: unknown[] = [];
    const connect = {
      ...PATIENCE,
      attempts: 3,
      answered: (tries: number) => heard.push(['answered', tries]),
      spared: (frames: number) => heard.push(['spared', frames]),
    };
    await told({ rttMs: 1 }).probe(bare(port, connect), PATIENCE, signal);
    expect(heard.splice(0)).toEqual([
      ['answered', 1],
      ['spared', 1],
    ]);
    // The first try was silent: the connection of our own is the second.
    const late = await told('silent').probe(bare(port, connect), PATIENCE, signal);
    expect([late.tcp?.outcome, heard]).toEqual(['accepted', [['answered', 2]]]);
  });

  it.each<[string, Parameters<typeof bare>[2], Patience | undefined]>([
    ['a service that is spoken to', 'ssh', PATIENCE],
    ['a connection without a patience of its own', undefined, undefined],
  ])('leaves %s alone', async (_, name, connect) => {
    const { lines, probe } = told({ rttMs: 1 });
    await probe(bare(await aClosedPort(), connect, name), PATIENCE, signal);
    expect(lines).toEqual([]);
  });
});

it('connects by the program, many at a time, and tells who accepted from who refused', async () => {
  const server = await aPort();
  const process = connectSender.start(2);
  if (process === undefined) throw new Error('the sender has no pipes');
  const batch = createBatch(process, connectSender.reader);
  const closed = await aClosedPort();
  // All of 127/8 is this machine (RFC 1122 3.2.1.3); the server listens on one address of it.
  const answers = await Promise.all(
    [`${ADDRESS} ${server.port}`, `${ADDRESS} ${closed}`, `127.0.0.2 ${server.port}`].map((line) =>
      batch.ask(line, signal),
    ),
  );
  if (batch.over()) expect(answers).toEqual(['unknown', 'unknown', 'unknown']);
  else expect(answers).toEqual([{ rttMs: expect.any(Number) }, 'refused', 'refused']);
  // A second time each: what is free again is used again.
  const again = await Promise.all(
    Array.from({ length: 60 }, (_, at) => batch.ask(`127.0.0.${at + 1} ${server.port}`, signal)),
  );
  if (!batch.over()) expect(again.filter((answer) => answer === 'refused')).toHaveLength(59);
});
