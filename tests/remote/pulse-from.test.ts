/** The pulse at another place, by what the place sends; and the script of a place without Node, in a real shell with pings of our own. */
import { spawn } from 'node:child_process';
import { chmodSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { type PulseFromRequest, pulseFrom } from '../../src/remote/pulse-from.js';
import { MOST_SHELL_TARGETS, pulseScript } from '../../src/remote/shell-pulse.js';
import type { PlaceTrouble } from '../../src/remote/trouble.js';
import { type FakePlace, fakePlace } from './support.js';

const NONCE = 'abc123';
const place = { name: 'press-1', ssh: 'ssh://root@192.0.2.21', host: '192.0.2.21', user: 'root' };
const targets = [{ address: '192.0.2.11' }, { address: '192.0.2.12' }];

async function pulsed(
  there: FakePlace,
  more: Partial<PulseFromRequest> = {},
): Promise<{ told: string[]; trouble: PlaceTrouble }> {
  const told: string[] = [];
  const trouble = await pulseFrom(
    { place, targets, framesPerSecond: 4000, askers: 2, ...more },
    {
      programs: there.programs,
      now: () => new Date('2030-01-02T03:04:05.000Z'),
      nonce: () => NONCE,
      agent: () => 'AGENT',
      silenceMs: { greeting: 300, later: 300 },
    },
    new AbortController().signal,
    (address, alive) => told.push(`${address} ${alive}`),
  );
  return { told, trouble };
}
const line = (message: unknown): string => `${NONCE} ${JSON.stringify(message)}\n`;
const change = (address: string, alive: boolean) => line({ kind: 'pulse', address, alive });
const node = (text: string) =>
  fakePlace((sent) =>
    sent.endsWith('"$v"\n') ? `${NONCE} node 20.1.0\n` : sent.includes('AGENT\n{') ? text : '',
  );

describe('a pulse from another place', () => {
  it('is asked of the agent with the addresses alone, and tells each change', async () => {
    const there = node(
      `${line({ kind: 'hello', at: 0 })}${change('192.0.2.11', false)}${line({ kind: 'alive' })}${change('192.0.2.11', true)}`,
    );
    const { told, trouble } = await pulsed(there);
    expect(told).toEqual(['192.0.2.11 false', '192.0.2.11 true']);
    expect(trouble).toEqual({ trouble: 'silent' });
    expect(there.stopped()).toBe(true);
    const request = JSON.parse(there.sent().split('AGENT\n')[1] ?? '') as unknown;
    expect(request).toEqual({ kind: 'pulse', targets, everyMs: 800, framesPerSecond: 4000 });
  });

  it('takes no other address, no other shape, and no end of changes', async () => {
    const other = await pulsed(node(change('203.0.113.9', false) + line({ kind: 'pulse', address: 7 })));
    expect(other.told).toEqual([]);
    expect((await pulsed(node('PWNED\n'.repeat(60)))).trouble).toEqual({ trouble: 'garbage' });
    const flood = await pulsed(node((change('192.0.2.11', false) + change('192.0.2.11', true)).repeat(500)));
    expect(flood.trouble).toEqual({ trouble: 'too-much' });
    expect(flood.told.length).toBe(20);
  });

  it('asks less often where many ask the same devices', async () => {
    const there = node('');
    await pulsed(there, { askers: 16 });
    expect(there.sent()).toContain('"everyMs":3200');
  });

  it('says how many addresses a shell asks, and asks them by no more than its share', async () => {
    const many = Array.from({ length: 100 }, (_, at) => ({ address: `192.0.2.${at}` }));
    const there = fakePlace((sent) => (sent.endsWith('"$v"\n') ? `${NONCE} shell 0\n` : ''));
    const asked: number[] = [];
    await pulsed(there, { targets: many, onBegun: (count) => asked.push(count) });
    expect(asked).toEqual([MOST_SHELL_TARGETS]);
    expect(there.sent().match(/'192\.0\.2\.\d+'/g)).toHaveLength(MOST_SHELL_TARGETS);
  });
});

describe.skipIf(process.platform === 'win32')('the script of a place without Node', () => {
  let folder: string;
  beforeEach(() => {
    folder = mkdtempSync(path.join(tmpdir(), 'pulse-'));
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));

  /** `ping`: the lines of a shell program; each address has a file in `$there` while it answers. */
  function run(ping: string) {
    writeFileSync(
      path.join(folder, 'ping'),
      `#!/bin/sh\nthere=${folder}\nfor a; do :; done\necho $$ >>$there/pids\n${ping}`,
    );
    chmodSync(path.join(folder, 'ping'), 0o755);
    const child = spawn('/bin/sh', [], {
      stdio: ['pipe', 'pipe', 'ignore'],
      env: { PATH: `${folder}:/usr/bin:/bin` },
    });
    let text = '';
    child.stdout.on('data', (chunk: Uint8Array) => {
      text += String(chunk);
    });
    const closed = new Promise<void>((resolve) => child.on('close', () => resolve()));
    const said = () => text.split('\n').filter((one) => one.includes('pulse'));
    child.stdin.write(pulseScript(NONCE, targets));
    return { child, closed, said };
  }
  const set = (address: string, there: boolean) =>
    there
      ? writeFileSync(path.join(folder, address), '')
      : rmSync(path.join(folder, address), { force: true });
  const pids = () => readFileSync(path.join(folder, 'pids'), 'utf8').trim().split('\n').map(Number);
  const running = (pid: number) => {
    try {
      process.kill(pid, 0);
      return true;
    } catch {
      return false;
    }
  };
  const until = async (what: () => boolean) => {
    for (let tries = 0; tries < 600 && !what(); tries += 1)
      await new Promise((resolve) => setTimeout(resolve, 50));
    expect(what()).toBe(true);
  };

  // Lines of iputils' ping -O, from memory.
  const IPUTILS = `case " $* " in *" -c 1 "*) exit 0;; esac
while :; do if [ -e "$there/$a" ]; then echo "64 bytes from $a: icmp_seq=1 ttl=64 time=0.1 ms"; else echo "no answer yet for icmp_seq=1"; fi; sleep 0.05; done
`;
  const PLAIN = `case " $* " in *" -O "*) echo "ping: invalid option -- 'O'"; exit 1;; esac
if [ -e "$there/$a" ]; then echo "64 bytes from $a: seq=0 ttl=64 time=0.1 ms"; sleep 0.1; else sleep 0.1; exit 1; fi
`;
  it.each([
    ['a ping that tells of each echo', IPUTILS],
    ['a ping that is started again and again', PLAIN],
  ])('tells who went and who came by %s, and leaves nothing behind', async (_what, ping) => {
    set('192.0.2.11', true);
    const { child, closed, said } = run(ping);
    await until(() => said().length === 1);
    set('192.0.2.11', false);
    await until(() => said().length === 2);
    set('192.0.2.11', true);
    await until(() => said().length === 3);
    // The other never answered: it is not told as gone.
    expect(said()).toEqual([true, false, true].map((alive) => change('192.0.2.11', alive).trim()));
    child.stdin.end();
    await closed;
    await until(() => !pids().some(running));
  });

  it('leaves nothing behind where the connection ends at once', async () => {
    const { child, closed } = run(IPUTILS);
    child.stdin.end();
    await closed;
    await until(() => !pids().some(running));
  });
});
