/** check, survey and drill from the command line on addresses of this laptop's own loopback (RFC 1122 §3.2.1.3: 127/8). */
import { readFileSync } from 'node:fs';
import net from 'node:net';
import path from 'node:path';
import { PassThrough } from 'node:stream';
import { describe, expect, onTestFinished, test } from 'vitest';
import { main } from '../../src/cli/main.js';
import type { Sink } from '../../src/cli/output.js';
import { readMatrix } from '../../src/matrix/read.js';
import { folderWith, namesIn, run } from './run.js';

interface Listening {
  readonly port: number;
  close(): Promise<void>;
}

async function listen(address: string, port = 0): Promise<Listening> {
  const open = new Set<net.Socket>();
  const server = net.createServer((socket) => {
    open.add(socket);
    socket.on('error', () => {}).on('close', () => open.delete(socket));
  });
  await new Promise<void>((resolve, reject) => server.once('error', reject).listen(port, address, resolve));
  const bound = server.address();
  const close = async (): Promise<void> => {
    for (const socket of open) socket.destroy();
    await new Promise((resolve) => server.close(resolve));
  };
  onTestFinished(close);
  return { port: typeof bound === 'object' && bound !== null ? bound.port : port, close };
}

const A = '127.0.77.11';
const B = '127.0.77.12';
const listOf = (portA: number, portB: number): string =>
  `device,controller,port,address,services,group\nvault-1,A,data0,${A}/24,tcp/${portA},vault-1 data\nvault-1,B,data0,${B}/24,tcp/${portB},vault-1 data\n`;

// Systems other than Linux answer on 127.0.0.1 alone unless told.
describe.skipIf(process.platform !== 'linux')('on loopback', () => {
  test('check: --json alone on standard output, the same bytes in the folder, progress on standard error', async () => {
    const [a, b] = await Promise.all([listen(A), listen(B)]);
    const cwd = folderWith({ 'list.csv': listOf(a.port, b.port) });
    const { status, out, err } = await run(['check', 'list.csv', '--json', '--out', 'handover'], { cwd });
    const matrix = readMatrix(out, 'stdout');
    expect(matrix.endpoints.map(({ id, verdict }) => `${id} ${verdict}`)).toEqual([
      'vault-1/A/data0 matches',
      'vault-1/B/data0 matches',
    ]);
    expect(status).toBe(matrix.findings.some(({ severity }) => severity !== 'note') ? 1 : 0);
    expect(readFileSync(path.join(cwd, 'handover/matrix.json'), 'utf8')).toBe(out);
    expect(namesIn(path.join(cwd, 'handover'))).toEqual(['matrix.html', 'matrix.json']);
    expect(err).toContain('Finding out who is there: 0 of 2');
    expect(err).toContain(path.join('handover', 'matrix.html'));
  });

  test('check --quiet: 1 and the finding that is to be settled, nothing else', async () => {
    const [a, b] = await Promise.all([listen(A), listen(B)]);
    await b.close();
    const cwd = folderWith({ 'list.csv': listOf(a.port, b.port) });
    const { status, out, err } = await run(['check', 'list.csv', '--quiet', '--out', 'handover'], { cwd });
    expect({ status, err }).toEqual({ status: 1, err: '' });
    expect(out).toMatch(/^(STOP|FIX)/);
    expect(out).toContain('(service-refused)');
    expect(out).not.toContain('NOTE');
  });

  test('survey writes what check --since reads', async () => {
    const a = await listen(A);
    const cwd = folderWith({ 'list.csv': listOf(a.port, a.port) });
    const before = await run(['survey', 'list.csv', '--out', 'before'], { cwd });
    expect(before.err).toContain(path.join('before', 'survey.json'));
    expect(namesIn(path.join(cwd, 'before'))).toEqual(['survey.json']);
    const { err } = await run(['check', 'list.csv', '--since', 'before', '--out', 'after', '--quiet'], {
      cwd,
    });
    expect(err).toBe('');
  });

  test('an interrupt writes what was seen and ends with 130', async () => {
    const cwd = folderWith({ 'list.csv': listOf(9, 9) });
    const stop = new AbortController();
    stop.abort();
    const { status, err } = await run(['check', 'list.csv', '--out', 'half'], { cwd, signal: stop.signal });
    expect(status).toBe(130);
    expect(err).toContain('Interrupted');
    expect(readMatrix(readFileSync(path.join(cwd, 'half/matrix.json'), 'utf8'), 'half').run.complete).toBe(
      false,
    );
  });

  test('drill --script: a service that goes away and comes back is a pull that its group survives', async () => {
    let a = await listen(A);
    const b = await listen(B);
    const cwd = folderWith({ 'list.csv': listOf(a.port, b.port) });
    const stdin = new PassThrough();
    const events: Record<string, unknown>[] = [];
    let work = Promise.resolve();
    const onEvent = async ({ event, name }: Record<string, unknown>): Promise<void> => {
      if (event === 'pull' && name === 'vault-1/A/data0') {
        await new Promise((resolve) => setTimeout(resolve, 500));
        await a.close();
      }
      if (event === 'restore') a = await listen(A, a.port);
      if (event === 'ask') stdin.write('next\n');
      if (event === 'pull' && name !== 'vault-1/A/data0') stdin.write('skip\n');
    };
    const stdout: Sink = {
      isTTY: false,
      write: (text) => {
        for (const line of text.trim().split('\n')) {
          const event = JSON.parse(line) as Record<string, unknown>;
          events.push(event);
          work = work.then(() => onEvent(event));
        }
      },
    };
    let err = '';
    const stderr: Sink = {
      isTTY: false,
      write: (text) => {
        err += text;
      },
    };
    const argv = [
      'drill',
      'list.csv',
      '--script',
      '--hold',
      '0.5',
      '--wait',
      '10',
      '--by',
      'R. Hale',
      '--out',
      'drill',
    ];
    await main(argv, { cwd, stdin, stdout, stderr, env: {} });
    await work;
    // What can be watched is said before anybody pulls.
    expect(events[0]).toEqual({
      event: 'watch',
      watched: ['vault-1/A/data0', 'vault-1/B/data0'],
      unwatched: [],
      leftOut: [],
    });
    expect(events[1]).toMatchObject({ event: 'pull', name: 'vault-1/A/data0', number: 1 });
    expect(events.find(({ event }) => event === 'measured')).toMatchObject({
      record: { outcome: 'survived', by: 'R. Hale', gaps: [{ endpoint: 'vault-1/A/data0', returned: true }] },
    });
    expect(err).toMatch(/\d pulls for 1 group/);
    const matrix = readMatrix(readFileSync(path.join(cwd, 'drill/matrix.json'), 'utf8'), 'drill');
    const outcomes = matrix.evidence[0]?.drills.map(({ outcome }) => outcome) ?? [];
    expect(outcomes[0]).toBe('survived');
    expect(new Set(outcomes.slice(1))).toEqual(new Set(['skipped']));
  });
});
