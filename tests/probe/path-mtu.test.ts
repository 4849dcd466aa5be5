import { describe, expect, it } from 'vitest';
import { mtuProbe } from '../../src/probe/path-mtu.js';
import type { ProgramResult, Programs } from '../../src/probe/types.js';

const PATIENCE = { timeoutMs: 300, attempts: 2 };

interface Path {
  /** Largest IP packet that passes. */
  readonly limit: number;
  readonly tells?: 'router' | 'local';
  /** Every n-th echo is lost on top. */
  readonly loses?: number;
  readonly dead?: boolean;
  readonly knowsProbe?: boolean;
}

/** A ping of iputils as the fixtures show it, over a path of our own. */
function pings(path: Path): Programs & { readonly lines: string[]; readonly echoes: () => number } {
  const lines: string[] = [];
  let echoes = 0;
  const run = (command: string, args: readonly string[]): Promise<ProgramResult> => {
    lines.push([command, ...args].join(' '));
    const option = (name: string) => (args.includes(name) ? (args[args.indexOf(name) + 1] ?? '') : '');
    const address = args.at(-1) ?? '';
    if (option('-M') === 'probe' && !path.knowsProbe) {
      return ended(2, '', 'ping: invalid -M argument: probe\n');
    }
    const size = Number(option('-s') || option('-l'));
    const mtu = size + (address.includes(':') ? 48 : 28);
    let out = `PING ${address} (${address}) ${size}(${mtu}) bytes of data.\n`;
    let received = 0;
    const count = Number(option('-c') || option('-n') || 1);
    for (let sequence = 1; sequence <= count; sequence += 1) {
      echoes += 1;
      if (path.dead || (path.loses !== undefined && echoes % path.loses === 0)) continue;
      if (mtu <= path.limit) {
        received += 1;
        out += `${size + 8} bytes from ${address}: icmp_seq=${sequence} ttl=63 time=0.059 ms\n`;
      } else if (path.tells === 'router') {
        out += `From 192.0.2.1 icmp_seq=${sequence} Frag needed and DF set (mtu = ${path.limit})\n`;
      } else if (path.tells === 'local') {
        out += `ping: local error: message too long, mtu=${path.limit}\n`;
      }
    }
    out += `\n--- ${address} ping statistics ---\n${count} packets transmitted, ${received} received, 0% packet loss, time 203ms\n`;
    return ended(received > 0 ? 0 : 1, out, '');
  };
  return {
    lines,
    echoes: () => echoes,
    run,
    start: () => ({ ran: false, why: 'failed', detail: 'not here' }),
  };
}

function ended(exitCode: number, stdout: string, stderr: string): Promise<ProgramResult> {
  return Promise.resolve({ ran: true, exitCode, stdout, stderr, timedOut: false });
}

function measure(
  programs: Programs,
  target: { address?: string; plannedMtu?: number; interfaceMtu?: number } = {},
) {
  const probe = mtuProbe({ programs, platform: 'linux', flavour: 'iputils' });
  return probe({ address: '192.0.2.7', plannedMtu: 9000, ...target }, PATIENCE, new AbortController().signal);
}

/** Payload for 9000: 8972 over IPv4 and 8952 over IPv6 (shared/standards.md part 4). */
it.each([
  ['192.0.2.7', '-s 8972'],
  ['2001:db8::7', '-s 8952'],
])('asks %s with %s', async (address, size) => {
  const programs = pings({ limit: 9000 });
  expect(await measure(programs, { address })).toEqual({ outcome: 'passes', mtu: 9000 });
  expect(programs.lines.some((line) => line.includes(size))).toBe(true);
});

it.each([
  ['nobody tells', {}, {}, 'silent'],
  ['a router tells', { tells: 'router' }, {}, 'router'],
  ['this system refuses', { tells: 'local' }, {}, 'local'],
  ['this system remembers what a router told', { tells: 'local' }, { interfaceMtu: 9000 }, 'router'],
] as const)('finds 1500 where %s', async (_, path, target, told) => {
  expect(await measure(pings({ limit: 1500, ...path }), target)).toMatchObject({
    outcome: 'smaller',
    mtu: 1500,
    asked: 9000,
    told,
  });
});

it('asks no more than its own interface takes, and says that this is what limits', async () => {
  const programs = pings({ limit: 9000 });
  expect(await measure(programs, { interfaceMtu: 1500 })).toEqual({
    outcome: 'smaller',
    mtu: 1500,
    asked: 9000,
    told: 'local',
  });
  expect(programs.lines.some((line) => line.includes('8972'))).toBe(false);
});

it('is not misled by a path that loses every fifth echo, and by one that loses every second', async () => {
  for (const loses of [5, 2]) {
    expect(await measure(pings({ limit: 9000, loses }))).toEqual({ outcome: 'passes', mtu: 9000 });
    expect(await measure(pings({ limit: 1500, loses }))).toMatchObject({ outcome: 'smaller', mtu: 1500 });
  }
});

it('says no-reply, and searches nothing, where the small echo gets no answer', async () => {
  const programs = pings({ limit: 9000, dead: true });
  expect(await measure(programs)).toEqual({ outcome: 'no-reply', asked: 84, cause: 'timeout' });
  expect(programs.echoes()).toBeLessThan(8);
});

it('asks again with the older discovery once, and remembers', async () => {
  const programs = pings({ limit: 9000 });
  await measure(programs);
  await measure(programs);
  expect(programs.lines.filter((line) => line.includes('-M probe'))).toHaveLength(1);
  const newer = pings({ limit: 9000, knowsProbe: true });
  await measure(newer);
  expect(newer.lines.every((line) => line.includes('-M probe'))).toBe(true);
});

it('stays within its count of echoes', async () => {
  for (const limit of [1413, 8999, 100]) {
    const programs = pings({ limit });
    await measure(programs);
    expect(programs.echoes()).toBeLessThanOrEqual(160);
  }
});

describe('what cannot be measured is not-run, with the reason', () => {
  const cases = [
    { name: 'busybox', deps: { platform: 'linux', flavour: 'busybox' }, reason: /busybox/ },
    { name: 'Windows over IPv6', deps: { platform: 'win32' }, address: '2001:db8::7', reason: /IPv6/ },
  ] as const;
  it.each(cases)('$name', async ({ deps, reason, ...rest }) => {
    const programs = pings({ limit: 9000 });
    const target = { address: 'address' in rest ? rest.address : '192.0.2.7', plannedMtu: 9000 };
    const seen = await mtuProbe({ programs, ...deps })(target, PATIENCE, new AbortController().signal);
    expect(seen).toMatchObject({ outcome: 'not-run', reason: expect.stringMatching(reason) });
    expect(programs.lines).toEqual([]);
  });

  it('no ping program', async () => {
    const absent: Programs = {
      run: () => Promise.resolve({ ran: false, why: 'not-found', detail: 'ENOENT' }),
      start: () => ({ ran: false, why: 'not-found', detail: 'ENOENT' }),
    };
    expect(await measure(absent)).toMatchObject({ outcome: 'not-run', reason: 'no ping program' });
  });

  it('a ping without the option', async () => {
    const strange: Programs = {
      run: () => ended(1, '', "ping: invalid option -- 'M'\n"),
      start: () => ({ ran: false, why: 'failed', detail: '' }),
    };
    expect(await measure(strange)).toMatchObject({
      outcome: 'not-run',
      reason: expect.stringContaining('fragment'),
    });
  });

  it('interrupted', async () => {
    const controller = new AbortController();
    controller.abort();
    const probe = mtuProbe({ programs: pings({ limit: 9000 }), platform: 'linux' });
    expect(await probe({ address: '192.0.2.7', plannedMtu: 9000 }, PATIENCE, controller.signal)).toEqual({
      outcome: 'not-run',
      cause: 'interrupted',
      reason: 'interrupted',
    });
  });
});

it('speaks the options of macOS and Windows (from memory)', async () => {
  const mac = pings({ limit: 9000 });
  await mtuProbe({ programs: mac, platform: 'darwin' })(
    { address: '192.0.2.7', plannedMtu: 9000 },
    PATIENCE,
    new AbortController().signal,
  );
  expect(mac.lines.at(-1)).toMatch(/^ping -n -D -W 300 -c 1 -s 8972 -i 0.2 192\.0\.2\.7$/);
  const windows = pings({ limit: 9000 });
  await mtuProbe({ programs: windows, platform: 'win32' })(
    { address: '192.0.2.7', plannedMtu: 9000 },
    PATIENCE,
    new AbortController().signal,
  );
  expect(windows.lines.at(-1)).toMatch(/^ping -n 1 -w 300 -f -l 8972 192\.0\.2\.7$/);
});

/** A ping of Windows in German: what the sender refuses comes at once, what is lost costs the wait. Words from memory. */
function germanPings(path: { limit: number; remembers?: boolean }): Programs {
  return {
    run: async (_command, args) => {
      const option = (name: string): number => Number(args[args.indexOf(name) + 1]);
      const mtu = option('-l') + 28;
      const passes = mtu <= path.limit;
      const line = passes
        ? `Antwort von 192.0.2.7: Bytes=${option('-l')} Zeit<1ms TTL=64`
        : path.remembers === true
          ? 'Paket müsste fragmentiert werden, DF-Flag ist jedoch gesetzt.'
          : 'Zeitüberschreitung der Anforderung.';
      if (!passes && path.remembers !== true)
        await new Promise((resolve) => setTimeout(resolve, option('-n') * option('-w')));
      const received = passes ? option('-n') : 0;
      return {
        ran: true,
        exitCode: passes ? 0 : 1,
        stdout: `${line}\n\nPing-Statistik für 192.0.2.7:\n    Pakete: Gesendet = ${option('-n')}, Empfangen = ${received}, Verloren = ${option('-n') - received}\n`,
        stderr: '',
        timedOut: false,
      };
    },
    start: () => ({ ran: false, why: 'failed', detail: 'not here' }),
  };
}

it.each([
  ['silent', false],
  ['router', true],
])(
  'tells who found it too long on Windows by the time it took: %s',
  async (told, remembers) => {
    const probe = mtuProbe({ programs: germanPings({ limit: 1500, remembers }), platform: 'win32' });
    const target = { address: '192.0.2.7', plannedMtu: 1600, interfaceMtu: 9000 };
    // Below the MTU of its own interface a system refuses what it remembers that a router said.
    expect(await probe(target, { timeoutMs: 100, attempts: 1 }, new AbortController().signal)).toMatchObject({
      outcome: 'smaller',
      mtu: 1500,
      told,
    });
  },
  30_000,
);
