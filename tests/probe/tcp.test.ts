import { createServer } from 'node:net';
import { afterEach, describe, expect, it } from 'vitest';
import { probeTcp } from '../../src/probe/tcp.js';
import { dial } from '../../src/probe/tcp-dial.js';
import { ADDRESS, closedPort, listen, never, PATIENCE, service, tcpServer } from './loopback.js';

const closers: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of closers.splice(0)) await close();
});

describe('probeTcp', () => {
  it('accepts, closes, and sends nothing', async () => {
    let heard = 0;
    const server = await tcpServer((socket) => {
      socket.on('data', (chunk) => {
        heard += chunk.length;
      });
    });
    closers.push(server.close);
    const target = { address: ADDRESS, service: service('tcp/9', server.port) };
    const sighting = await probeTcp(target, PATIENCE, never());
    expect(sighting).toMatchObject({ port: server.port, service: 'tcp/9', outcome: 'accepted' });
    await server.idle();
    expect(heard).toBe(0);
  });

  // RFC 9293 §3.10.7.1: a closed port answers a SYN with RST.
  it('tells a closed port as refused, at once', async () => {
    const startedAt = performance.now();
    const target = { address: ADDRESS, service: service('ssh', await closedPort()) };
    expect(await probeTcp(target, { timeoutMs: 2000, attempts: 3 }, never())).toMatchObject({
      outcome: 'refused',
    });
    expect(performance.now() - startedAt).toBeLessThan(500);
  });

  it('works over IPv6', async () => {
    const server = await listen(createServer(), '::1');
    closers.push(server.close);
    const target = { address: '::1', service: service('ssh', server.port) };
    expect(await probeTcp(target, PATIENCE, never())).toMatchObject({ outcome: 'accepted' });
  });

  it('is silent towards a port whose queue is full, and ends with its patience', async () => {
    const full = await fullPort();
    closers.push(full.close);
    const startedAt = performance.now();
    const target = { address: ADDRESS, service: service('ssh', full.port) };
    const sighting = await probeTcp(target, { timeoutMs: 150, attempts: 2 }, never());
    expect(sighting).toEqual({
      port: full.port,
      service: 'ssh',
      outcome: 'no-reply',
      cause: 'timeout',
    });
    expect(performance.now() - startedAt).toBeGreaterThan(290);
    expect(performance.now() - startedAt).toBeLessThan(800);
  });

  it('is not run once interrupted', async () => {
    const target = { address: ADDRESS, service: service('ssh', 9) };
    expect(await probeTcp(target, PATIENCE, AbortSignal.abort())).toMatchObject({
      outcome: 'not-run',
      reason: 'interrupted',
    });
  });
});

describe('dial', () => {
  it('starts a second try while the first hangs, and takes the first that is answered', async () => {
    const full = await fullPort();
    closers.push(full.close);
    setTimeout(full.drain, 250);
    const result = await dial(
      { address: ADDRESS, port: full.port },
      { timeoutMs: 200, attempts: 10 },
      never(),
    );
    expect(result.outcome).toBe('accepted');
    if (result.outcome === 'accepted') {
      // The kernel would have repeated the first SYN after 1 s only (RFC 6298 §2: RTO 1 s).
      expect(result.connectMs).toBeLessThan(150);
      result.socket.destroy();
    }
  });
});

/** A listener that takes nobody: Linux drops further SYNs once its queue is full. Another process, so that it can be stopped. */
async function fullPort() {
  const { spawn } = await import('node:child_process');
  const script = `const s=require('net').createServer();s.listen({port:0,host:'127.0.0.1',backlog:1},()=>{
    process.stdout.write(s.address().port+'\\n',()=>process.kill(process.pid,'SIGSTOP'))})`;
  const child = spawn(process.execPath, ['-e', script], { stdio: ['ignore', 'pipe', 'inherit'] });
  const port = await new Promise<number>((resolve) => {
    child.stdout.once('data', (bytes: Buffer) => resolve(Number(bytes.toString())));
  });
  const { connect } = await import('node:net');
  const fillers = Array.from({ length: 4 }, () => connect(port, ADDRESS).on('error', () => {}));
  await new Promise((resolve) => setTimeout(resolve, 100));
  const drain = () => child.kill('SIGCONT');
  return {
    port,
    drain,
    close: async () => {
      for (const filler of fillers) filler.destroy();
      child.kill('SIGKILL');
    },
  };
}
