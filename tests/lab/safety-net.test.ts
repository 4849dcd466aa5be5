/** What ends a run from outside or by surprise: what was seen is written, and the exit status says which it was (issue 13.1, 13.6). */

import { spawn, spawnSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync, symlinkSync } from 'node:fs';
import { createServer, type Server } from 'node:net';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { folderWith } from '../cli/run.js';
import { startProgram } from '../support/program.js';

/** Takes connections and never speaks: the run stays under way as long as its patience. */
let silent: Server;
let port = 0;

/** `speaksAfterMs`: absent, it never does. */
async function holdsConnections(
  at: string,
  speaksAfterMs?: number,
): Promise<{ readonly server: Server; readonly port: number }> {
  const server = createServer((socket) => {
    socket.on('error', () => {});
    if (speaksAfterMs !== undefined) setTimeout(() => socket.write('SSH-2.0-example\r\n'), speaksAfterMs);
  });
  await new Promise<void>((resolve) => server.listen(0, at, resolve));
  const address = server.address();
  return { server, port: typeof address === 'object' && address !== null ? address.port : 0 };
}

beforeAll(async () => {
  ({ server: silent, port } = await holdsConnections('127.0.0.1'));
});
afterAll(() => silent.close());

/** Of util-linux: takes files away from a program that runs. */
const NO_PRLIMIT = spawnSync('prlimit', ['--version']).status !== 0;

const PROBING = /Asking|Looking/;

function site() {
  const rows = [`vault-1,mgmt,127.0.0.1/8,https:${port} ssh:${port}`, `vault-2,mgmt,127.0.0.2,ssh:${port}`];
  return folderWith({
    'list.csv': ['device,port,address,services', ...rows].join('\n'),
    // Somewhere in the program a callback throws, or a promise that nobody waits for is rejected.
    'throws.mjs': 'setTimeout(() => { throw new TypeError("boom\\u001b[2J") }, 2500);',
    'rejects.mjs': 'setTimeout(() => { void Promise.reject(new Error("nobody waits")) }, 2500);',
  });
}

const matrixIn = (cwd: string) =>
  JSON.parse(readFileSync(path.join(cwd, 'run/matrix.json'), 'utf8')) as Matrix;

describe('what was seen is written', () => {
  test.each([
    ['SIGHUP: the terminal was closed', 'SIGHUP', 3],
    ['SIGINT: Ctrl-C', 'SIGINT', 130],
    ['SIGTERM', 'SIGTERM', 130],
  ] as const)('%s', async (_, signal, status) => {
    const cwd = site();
    const run = startProgram(['check', 'list.csv', '--out', 'run'], { cwd });
    await run.said(PROBING);
    run.child.kill(signal);
    const ended = await run.ended;
    expect(ended.signal).toBeNull();
    expect(ended.status, ended.err).toBe(status);
    expect(matrixIn(cwd).run.complete).toBe(false);
    expect(matrixIn(cwd).endpoints.every(({ verdict }) => verdict !== 'missing')).toBe(true);
    expect(existsSync(path.join(cwd, 'run/matrix.html'))).toBe(true);
  });

  test.each(['throws.mjs', 'rejects.mjs'])('an error in whatever callback: %s', async (file) => {
    const cwd = site();
    const node = ['--import', `./${file}`];
    const ended = await startProgram(['check', 'list.csv', '--out', 'run'], { cwd, node }).ended;
    expect(ended.status, ended.err).toBe(3);
    expect(ended.err).toMatch(/something went wrong inside the program: (boom|nobody waits)/);
    expect(ended.err).not.toMatch(/\n\s+at |\u001b/);
    expect(matrixIn(cwd).run.complete).toBe(false);
  });

  test('a full output: the documents are written all the same, and the status says that something was lost', async () => {
    const { server, port: speaking } = await holdsConnections('127.0.0.1', 0);
    const cwd = folderWith({
      'list.csv': `device,port,address,services\nvault-1,mgmt,127.0.0.1/8,ssh:${speaking}\n`,
    });
    const shell = (redirect: string) =>
      new Promise<number | null>((resolve) => {
        const bin = new URL('../../bin/matchmark.js', import.meta.url).pathname;
        const line = `exec ${process.execPath} ${bin} check list.csv --out run ${redirect}`;
        spawn('sh', ['-c', line], { cwd, stdio: 'ignore' }).once('close', resolve);
      });
    expect(await shell('> /dev/full')).toBe(3);
    expect(matrixIn(cwd).run.complete).toBe(true);
    expect(await shell('2> /dev/full > /dev/null')).toBe(3);
    expect(matrixIn(cwd).run.complete).toBe(true);
    server.close();
  });

  test.skipIf(NO_PRLIMIT)(
    'files run out in mid-run: what was seen is written, it is said, status 3, and the rest can be asked',
    async () => {
      const listening = await Promise.all(
        Array.from({ length: 100 }, async (_, n) => ({
          n,
          ...(await holdsConnections(`127.0.1.${n + 1}`, 1_500)),
        })),
      );
      const rows = listening.map((one) => `vault-${one.n},mgmt,127.0.1.${one.n + 1}/8,ssh:${one.port}`);
      const cwd = folderWith({ 'list.csv': ['device,port,address,services', ...rows].join('\n') });
      const run = startProgram(['check', 'list.csv', '--out', 'run'], { cwd });
      await run.said(/Finding out/);
      // Room for a fraction of the connections that are held at once; what is open stays so.
      const most = readdirSync(`/proc/${run.child.pid}/fd`).length + 30;
      spawnSync('prlimit', ['--pid', String(run.child.pid), `--nofile=${most}:${most}`]);
      const { status, err } = await run.ended;
      expect(status, err).toBe(3);
      expect(err).toContain('ran out of open files');
      const { endpoints, run: told } = matrixIn(cwd);
      expect(told.complete).toBe(false);
      const verdicts = endpoints.map(({ verdict }) => verdict);
      // Some were asked to their end, some not; none is taken for absent.
      expect(new Set(verdicts)).toEqual(new Set(['matches', 'unproven']));
      const rest = await startProgram(['check', '--resume', 'run'], { cwd }).ended;
      expect(rest.status, rest.err).toBe(0);
      expect(matrixIn(cwd).run.complete).toBe(true);
      expect(matrixIn(cwd).endpoints.every(({ verdict }) => verdict === 'matches')).toBe(true);
      for (const { server } of listening) server.close();
    },
  );
});

test('so few files that the program cannot read its own parts: said in a sentence, and never status 1', async () => {
  const cwd = site();
  const bin = new URL('../../bin/matchmark.js', import.meta.url).pathname;
  for (const most of [21, 24, 32, 48]) {
    const line = `ulimit -n ${most}; exec ${process.execPath} ${bin} check list.csv --out run 2> said`;
    const status = await new Promise((resolve) =>
      spawn('bash', ['-c', line], { cwd, stdio: 'ignore' }).once('close', resolve),
    );
    const said = readFileSync(path.join(cwd, 'said'), 'utf8');
    expect(said).not.toMatch(/^ +at /m);
    expect(said).toMatch(/cannot be read: .*too many/);
    expect(status).toBe(3);
    expect(existsSync(path.join(cwd, 'run'))).toBe(false);
  }
});

test('a second run into the folder of a run under way is refused, and changes nothing', async () => {
  const cwd = site();
  const first = startProgram(['check', 'list.csv', '--out', 'run'], { cwd });
  // Held still while the other tries: on a busy machine it would be done before the other has started.
  await first.said(/Finding out/);
  first.child.kill('SIGSTOP');
  const second = await startProgram(['check', 'list.csv', '--out', 'run'], { cwd }).ended;
  expect(second.status, second.err).toBe(2);
  expect(second.err).toContain('another matchmark works in');
  first.child.kill('SIGCONT');
  first.child.kill('SIGINT');
  expect((await first.ended).status).toBe(130);
});

test.each([
  ['a journal changed in the middle', '.matchmark-journal', '{"format":"x"\n{"kind":"sighting"}\n'],
  ['a journal of something else', '.matchmark-journal', '{"format":"x"}\n'],
  ['a result cut short', 'matrix.json', '{"format":"matchmark.matrix/1","run":{'],
])('%s is named as damaged before anything is probed', async (_, name, content) => {
  const cwd = folderWith({ [`run/${name}`]: content, 'list.csv': 'device,port,address\na,b,127.0.0.1/8\n' });
  const ended = await startProgram(['check', 'list.csv', '--resume', 'run'], { cwd }).ended;
  expect(ended.status, ended.err).toBe(2);
  expect(ended.err).toMatch(/damaged|is not JSON/);
  expect(ended.err).not.toMatch(PROBING);
});

test('links laid in the folder of a run are not followed', async () => {
  const cwd = folderWith({
    'kept.txt': 'kept',
    'run/x': '',
    'list.csv': 'device,port,address\na,b,127.0.0.1/8\n',
  });
  for (const name of ['matrix.json', 'matrix.html'])
    symlinkSync(path.join(cwd, 'kept.txt'), path.join(cwd, 'run', name));
  await startProgram(['check', 'list.csv', '--out', 'run', '--replace'], { cwd }).ended;
  expect(readFileSync(path.join(cwd, 'kept.txt'), 'utf8')).toBe('kept');
  expect(matrixIn(cwd).run.complete).toBe(true);
});

test('Ctrl-C ends the reading of a plan at once', async () => {
  // Slow enough to be under way when the signal comes: a large list whose every row is wrong.
  const rows = Array.from(
    { length: 19_000 },
    (_, index) => `d${index},p,999.0.2.${index},boss,glass,htps,x,y,z`,
  );
  const cwd = folderWith({
    'list.csv': ['device,port,address,role,media,services,mtu,speed,mac', ...rows].join('\n'),
  });
  const run = startProgram(['check', 'list.csv', '--out', 'run'], { cwd });
  const killed = setInterval(() => run.child.kill('SIGINT'), 700);
  const { status, signal } = await run.ended;
  clearInterval(killed);
  // Ended by the system's own way, or before the reading had begun; never carried on.
  expect([status, signal]).toSatisfy(
    ([number, name]: readonly [number | null, string | null]) =>
      name === 'SIGINT' || number === 130 || number === 2,
  );
  expect(existsSync(path.join(cwd, 'run'))).toBe(false);
});
