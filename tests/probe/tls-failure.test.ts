/** TLS servers that will not have us: what their refusal proves. OpenSSL's own server stands in where Node's sends no alert. */
import { type ChildProcess, execFileSync, spawn } from 'node:child_process';
import { existsSync, mkdtempSync, rmSync } from 'node:fs';
import { createServer as createHttps } from 'node:https';
import { connect, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { generate } from 'selfsigned';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { proveHttps } from '../../src/probe/http.js';
import { tlsFailureOf } from '../../src/probe/tls-failure.js';
import { ADDRESS, closedPort, listen, never, service, tcpServer } from './loopback.js';

const OPENSSL = ['/usr/bin/openssl', '/usr/local/bin/openssl'].find((place) => existsSync(place));
if (OPENSSL === undefined) console.warn('SKIPPED: openssl is not installed, its server is not asked');

const PATIENCE = { timeoutMs: 2000, attempts: 1 };
const ask = (port: number) =>
  proveHttps({ address: ADDRESS, service: service('https', port) }, PATIENCE, never());

const folder = mkdtempSync(path.join(tmpdir(), 'matchmark-tls-'));
const key = path.join(folder, 'key.pem');
const certificate = path.join(folder, 'certificate.pem');
let pems: { private: string; cert: string };
beforeAll(async () => {
  pems = await generate([{ name: 'commonName', value: 'vault-1-a.example' }], { keySize: 2048 });
  if (OPENSSL === undefined) return;
  const request = [
    'req',
    '-x509',
    '-newkey',
    'rsa:2048',
    '-nodes',
    '-days',
    '2',
    '-subj',
    '/CN=vault-1-a.example',
  ];
  execFileSync(OPENSSL, [...request, '-keyout', key, '-out', certificate], { stdio: 'ignore' });
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const closers: (() => Promise<void> | void)[] = [];
afterEach(async () => {
  for (const close of closers.splice(0)) await close();
});

/** `openssl s_server` on a free port; resolves when it accepts. */
async function opensslServer(args: readonly string[]): Promise<number> {
  const port = await closedPort();
  const own = [
    's_server',
    '-accept',
    `${ADDRESS}:${port}`,
    '-key',
    key,
    '-cert',
    certificate,
    '-www',
    '-quiet',
  ];
  const child: ChildProcess = spawn(OPENSSL ?? '', [...own, ...args], { stdio: 'ignore' });
  closers.push(() => void child.kill('SIGKILL'));
  for (let tries = 0; tries < 100; tries += 1) {
    if (await accepts(port)) return port;
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  throw new Error('openssl s_server did not start');
}

function accepts(port: number): Promise<boolean> {
  return new Promise((resolve) => {
    const socket = connect(port, ADDRESS, () => {
      socket.destroy();
      resolve(true);
    });
    socket.on('error', () => resolve(false));
  });
}

// Names of alerts: RFC 8446 §6.2; §4.4.2.4 and RFC 5246 §7.4.6 for a certificate of ours that is not there.
describe.skipIf(OPENSSL === undefined)('a server that', () => {
  it.each([
    ['wants a certificate of ours, version 1.3', ['-tls1_3', '-Verify', '1'], 'certificate_required', true],
    ['wants a certificate of ours, version 1.2', ['-tls1_2', '-Verify', '1'], 'handshake_failure', true],
    [
      'has no cipher that we have',
      ['-tls1_2', '-cipher', 'NULL-SHA256:@SECLEVEL=0'],
      'handshake_failure',
      false,
    ],
  ])('%s has proven TLS', async (_, args, alert, shown) => {
    const { proof, identity } = await ask(await opensslServer(args));
    expect(proof).toMatchObject({
      outcome: 'proven',
      cause: 'tls-alert',
      detail: `TLS is spoken; its alert: ${alert}`,
    });
    expect(identity?.certificate?.subject).toBe(shown ? 'CN=vault-1-a.example' : undefined);
  });
});

/** Client hello -> has it the extension? Its number (IANA TLS ExtensionType Values) stands before a length of its own. */
const HAS = {
  serverName: (hello: Buffer) => hello.includes('matchmark.example'),
  // supported_versions(43) with a list that begins with its length: only a client that knows version 1.3 sends it.
  supportedVersions: (hello: Buffer) =>
    hello.includes(Buffer.from('002b', 'hex')) && hello.includes('0304', 0, 'hex'),
};

/** Lets through to a server that works what `fits` says, and answers everything else with `refuse`. */
async function gate(fits: (hello: Buffer) => boolean, refuse: (socket: Socket) => void): Promise<number> {
  const inner = await listen(
    createHttps({ key: pems.private, cert: pems.cert }, (_, response) =>
      response.end('<title>Vault</title>'),
    ),
  );
  closers.push(inner.close);
  const outer = await tcpServer((socket) => {
    socket.once('data', (hello) => {
      if (!fits(hello)) return refuse(socket);
      const through = connect(inner.port, ADDRESS);
      through.write(hello);
      socket.pipe(through).pipe(socket);
      through.on('error', () => socket.destroy());
      socket.on('error', () => through.destroy());
    });
  });
  closers.push(outer.close);
  return outer.port;
}

describe('a second try', () => {
  it('has a name for a server that wants one', async () => {
    // Fatal unrecognized_name(112), RFC 6066 §3.
    const port = await gate(HAS.serverName, (socket) => socket.end(Buffer.from('15030300020270', 'hex')));
    const { proof, identity } = await ask(port);
    expect(proof).toMatchObject({ outcome: 'proven', detail: '200 OK' });
    expect(identity?.https?.title).toBe('Vault');
  });

  it('does without version 1.3 for a server that hangs up on it', async () => {
    const port = await gate(
      (hello) => !HAS.supportedVersions(hello),
      (socket) => socket.end(),
    );
    expect((await ask(port)).proof).toMatchObject({ outcome: 'proven', detail: '200 OK' });
  });

  it('that fails as well leaves what the first one told', async () => {
    const port = await gate(
      () => false,
      (socket) => socket.end(Buffer.from('15030300020228', 'hex')),
    );
    expect((await ask(port)).proof).toMatchObject({
      outcome: 'proven',
      cause: 'tls-alert',
      detail: 'TLS is spoken; its alert: handshake_failure',
    });
  });

  it('is the last one', async () => {
    const server = await tcpServer((socket) => socket.once('data', () => socket.end()));
    closers.push(server.close);
    expect((await ask(server.port)).proof).toMatchObject({
      outcome: 'silent',
      cause: 'closed-without-answer',
    });
    expect(server.taken()).toBe(2);
  });
});

describe('tlsFailureOf', () => {
  const error = (code: string, message = '') => Object.assign(new Error(message), { code });
  // OpenSSL: reason = 1000 + alert; 0A is the library of SSL errors (err.h, from memory). The words before the number do not matter.
  it.each([
    [
      'an alert, by its number',
      error('ERR_SSL_X', '80:error:0A000410:SSL routines:x:y:z'),
      'tls',
      'tls-alert',
    ],
    [
      'an alert that is none we know',
      error('ERR_SSL_X', '80:error:0A0004E0:SSL routines:x:y:z'),
      'tls',
      'tls-alert',
    ],
    [
      'an error that is no alert',
      error('ERR_SSL_WRONG_VERSION_NUMBER', '80:error:0A00010B:SSL routines:x'),
      'other-protocol',
      'other-protocol',
    ],
    [
      'an answer too old for us',
      error('ERR_SSL_UNSUPPORTED_PROTOCOL', '80:error:0A000102:SSL routines:x'),
      'tls',
      'tls-failed',
    ],
    ['an error nobody has met', error('ERR_SSL_NEW_ONE'), 'other-protocol', 'tls-failed'],
    ['a reset', Object.assign(error('ECONNRESET'), { errno: -104 }), 'closed', 'reset'],
    ['a close', error('ECONNRESET'), 'closed', 'closed-without-answer'],
    ['no error at all', 'text', 'other-protocol', 'tls-failed'],
  ])('%s', (_, thrown, outcome, cause) => {
    expect(tlsFailureOf(thrown)).toMatchObject({ outcome, cause });
  });
});
