import { createServer as createHttp, type RequestListener } from 'node:http';
import { createServer as createHttps } from 'node:https';
import { generate } from 'selfsigned';
import { afterEach, beforeAll, describe, expect, it } from 'vitest';
import { proveHttp, proveHttps } from '../../src/probe/http.js';
import { ADDRESS, closedPort, listen, never, PATIENCE, service, tcpServer } from './loopback.js';

const closers: (() => Promise<void>)[] = [];
afterEach(async () => {
  for (const close of closers.splice(0)) await close();
});

let pems: { private: string; cert: string };
beforeAll(async () => {
  pems = await generate([{ name: 'commonName', value: 'vault-1-a.example' }], { keySize: 2048 });
});

async function http(listener: RequestListener) {
  const server = await listen(createHttp(listener));
  closers.push(server.close);
  return server;
}

async function https(listener: RequestListener, options: object = {}) {
  const server = await listen(createHttps({ key: pems.private, cert: pems.cert, ...options }, listener));
  closers.push(server.close);
  return server;
}

const askHttp = (port: number) =>
  proveHttp({ address: ADDRESS, service: service('http', port) }, PATIENCE, never());
const askHttps = (port: number, patience = PATIENCE) =>
  proveHttps({ address: ADDRESS, service: service('https', port) }, patience, never());

describe('proveHttp', () => {
  it('tells status, title and Server, and asks without login, cookie or referrer', async () => {
    let asked: unknown;
    const { port } = await http((request, response) => {
      asked = { method: request.method, url: request.url, headers: request.headers };
      response.setHeader('Server', 'Loft/1.0');
      response.setHeader('Set-Cookie', 'session=1');
      response.end('<html><head><title>Vault&nbsp;1 &#8211; <b>');
    });
    expect(await askHttp(port)).toEqual({
      tcp: { port, service: 'http', outcome: 'accepted', connectMs: expect.any(Number) },
      proof: { service: 'http', protocol: 'tcp', port, outcome: 'proven', detail: '200 OK' },
      identity: {
        http: {
          port,
          status: 200,
          title: 'Vault 1 – <b>',
          server: 'Loft/1.0',
          clockAheadSeconds: expect.toSatisfy((seconds) => Math.abs(seconds) <= 2),
        },
      },
    });
    expect(asked).toEqual({
      method: 'GET',
      url: '/',
      headers: {
        host: `${ADDRESS}:${port}`,
        accept: '*/*',
        'user-agent': 'matchmark',
        connection: 'close',
      },
    });
  });

  it.each([401, 403, 404, 500, 503])('status %i proves the service all the same', async (status) => {
    const { port } = await http((_, response) => {
      response.statusCode = status;
      response.end();
    });
    const { proof, identity } = await askHttp(port);
    expect(proof.outcome).toBe('proven');
    expect(proof.cause).toBe(status >= 500 ? 'device-trouble' : undefined);
    expect(identity?.http?.status).toBe(status);
  });

  it('reads the title in the character set the header names', async () => {
    const { port } = await http((_, response) => {
      response.setHeader('Content-Type', 'text/html; charset=iso-8859-1');
      response.end(Buffer.from('<title>Büro-Tresor</title>', 'latin1'));
    });
    expect((await askHttp(port)).identity?.http?.title).toBe('Büro-Tresor');
  });

  it('follows redirects on the same address and keeps what the first answer said', async () => {
    const { port } = await http((request, response) => {
      if (request.url === '/') response.writeHead(302, { Location: '/login?next=%2F' }).end();
      else response.end('<title>Sign in</title>');
    });
    const { proof, identity } = await askHttp(port);
    expect(proof.detail).toBe('302 Found -> /login?next=%2F');
    expect(identity?.http).toMatchObject({ status: 302, title: 'Sign in', location: '/login?next=%2F' });
  });

  it.each([
    ['another port of the address', (port: number) => `http://${ADDRESS}:${port}/`, ADDRESS],
    ['another scheme', (port: number) => `https://${ADDRESS}:${port}/`, ADDRESS],
    ['another address', (port: number) => `http://127.0.0.2:${port}/`, '127.0.0.2'],
  ])('never follows to %s, and says that it leads away', async (_, to, address) => {
    const other = await listen(
      createHttp((_, response) => response.end()),
      address,
    );
    closers.push(other.close);
    const { port } = await http((_, response) => response.writeHead(302, { Location: to(other.port) }).end());
    const { proof, identity } = await askHttp(port);
    expect(proof).toMatchObject({ outcome: 'proven', cause: 'redirected-away' });
    expect(identity?.http?.location).toBe(to(other.port));
    expect(other.taken()).toBe(0);
  });

  it('goes round a redirect circle once', async () => {
    const { port, taken } = await http((_, response) => response.writeHead(302, { Location: '/' }).end());
    expect((await askHttp(port)).proof.outcome).toBe('proven');
    expect(taken()).toBe(2);
  });

  it('tells a TLS port for what it is', async () => {
    const { port } = await https((_, response) => response.end());
    expect((await askHttp(port)).proof.outcome).not.toBe('proven');
  });

  it('tells a web server that says so itself', async () => {
    const { port } = await http((_, response) => {
      response.statusCode = 400;
      response.end('<title>400 The plain HTTP request was sent to HTTPS port</title>');
    });
    expect((await askHttp(port)).proof).toMatchObject({ outcome: 'other-protocol' });
  });

  it.each([
    [
      'another protocol',
      (socket: { end(text: string): void }) => socket.end('SSH-2.0-loft\r\n'),
      'other-protocol',
    ],
    ['nothing and a close', (socket: { end(text: string): void }) => socket.end(''), 'silent'],
  ] as const)('%s is no HTTP', async (_, answer, outcome) => {
    const server = await tcpServer((socket) => {
      socket.once('data', () => answer(socket));
    });
    closers.push(server.close);
    expect((await askHttp(server.port)).proof.outcome).toBe(outcome);
  });

  it('a header bomb is cut off', async () => {
    const server = await tcpServer((socket) => {
      socket.write('HTTP/1.1 200 OK\r\n');
      const bomb = () => {
        if (!socket.destroyed) socket.write(`X-Bomb: ${'x'.repeat(8000)}\r\n`, () => setImmediate(bomb));
      };
      bomb();
    });
    closers.push(server.close);
    expect((await askHttp(server.port)).proof).toMatchObject({
      outcome: 'other-protocol',
      detail: 'header block above 16384 octets',
    });
  });

  it('an endless body and a slow one give what came', async () => {
    const endless = await http((_, response) => {
      response.write('<title>Endless</title>');
      const more = () => {
        if (!response.destroyed) response.write('x'.repeat(65_536), () => setImmediate(more));
      };
      more();
    });
    expect((await askHttp(endless.port)).identity?.http?.title).toBe('Endless');
    const slow = await http((_, response) => {
      response.write('<title>Slow</title>');
      const timer = setInterval(() => response.write('.'), 20);
      response.on('close', () => clearInterval(timer));
    });
    expect((await askHttp(slow.port)).identity?.http?.title).toBe('Slow');
  });

  it('what a device says is cleaned', async () => {
    const { port } = await http((_, response) => {
      response.setHeader('Server', 'a\tb');
      response.end('<title>\u001b]0;owned\u0007 \u202edesrever</title>');
    });
    expect((await askHttp(port)).identity?.http?.title).toBe('\\u001b]0;owned\\u0007 \\u202edesrever');
  });

  it.each([
    ['once is asked again: its address may just have moved', 1, 'proven'],
    ['each time says nothing', 2, 'silent'],
  ] as const)('a server that closes without an answer %s', async (_how, times, outcome) => {
    let asked = 0;
    const { port } = await http((request, response) => {
      asked += 1;
      if (asked <= times) request.socket.destroy();
      else response.end();
    });
    expect((await askHttp(port)).proof).toMatchObject({ outcome });
    expect(asked).toBe(2);
  });

  it('a closed port is refused', async () => {
    expect((await askHttp(await closedPort())).proof).toMatchObject({ outcome: 'refused' });
  });
});

describe('proveHttps', () => {
  it('tells the certificate and the page', async () => {
    const { port } = await https((_, response) => response.end('<title>Vault</title>'));
    const { proof, identity } = await askHttps(port);
    expect(proof).toMatchObject({ outcome: 'proven', detail: '200 OK' });
    expect(identity?.https).toMatchObject({ port, status: 200, title: 'Vault' });
    expect(identity?.certificate).toMatchObject({
      port,
      subject: 'CN=vault-1-a.example',
      issuer: 'CN=vault-1-a.example',
      selfSigned: true,
    });
  });

  it('speaks to a device that knows TLS 1.0 only', async () => {
    const old = { minVersion: 'TLSv1', maxVersion: 'TLSv1', ciphers: 'DEFAULT:@SECLEVEL=0' };
    const { port } = await https((_, response) => response.end(), old);
    expect((await askHttps(port)).proof.outcome).toBe('proven');
  });

  it('keeps the certificate of a device that never answers the GET', async () => {
    const { port } = await https(() => {});
    const { proof, identity } = await askHttps(port);
    expect(proof).toMatchObject({ outcome: 'silent', detail: 'connected, no HTTP answer' });
    expect(identity?.certificate?.subject).toBe('CN=vault-1-a.example');
  });

  it('tells plain HTTP where HTTPS is planned', async () => {
    const { port } = await http((_, response) => response.end());
    expect((await askHttps(port)).proof).toMatchObject({
      outcome: 'other-protocol',
      detail: 'plain HTTP speaks there, not TLS',
    });
  });

  // RFC 8446 §4.4.2.4: certificate_required; before version 1.3 handshake_failure (RFC 5246 §7.4.6), after the server showed its own.
  it.each([
    ['TLSv1.3', 'certificate_required'],
    ['TLSv1.2', 'handshake_failure'],
  ] as const)(
    'a device that wants a client certificate speaks TLS and has shown its own, %s',
    async (maxVersion, alert) => {
      const { port } = await https((_, response) => response.end(), {
        requestCert: true,
        rejectUnauthorized: true,
        maxVersion,
        ca: pems.cert,
      });
      const { proof, identity } = await askHttps(port);
      expect(identity?.certificate?.subject).toBe('CN=vault-1-a.example');
      // Node's own server closes without an alert where OpenSSL's sends one; tests/probe/tls.test.ts has that.
      expect(['proven', 'silent']).toContain(proof.outcome);
      if (proof.outcome === 'proven') expect(proof.detail).toContain(alert);
    },
  );

  it('silence during the handshake ends with its patience', async () => {
    const server = await tcpServer(() => {});
    closers.push(server.close);
    const startedAt = performance.now();
    expect((await askHttps(server.port)).proof).toMatchObject({ outcome: 'silent' });
    expect(performance.now() - startedAt).toBeLessThan(900);
  });
});
