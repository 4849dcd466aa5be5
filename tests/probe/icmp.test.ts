import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { icmpProbe } from '../../src/probe/icmp.js';
import { hasShortPing6, pingCommand } from '../../src/probe/icmp-command.js';
import type { ProgramResult, Programs } from '../../src/probe/types.js';
import { programs } from '../../src/system/programs.js';
import { never } from './loopback.js';

const PATIENCE = { timeoutMs: 500, attempts: 2 };
const V4 = { address: '192.0.2.10' };

function printed(name: string, exitCode = 0): ProgramResult {
  const path = new URL(`../../fixtures/os-output/ping-${name}.txt`, import.meta.url);
  const stdout = readFileSync(path, 'utf8').replace(/^#.*\n/, '');
  return { ran: true, exitCode, stdout, stderr: '', timedOut: false };
}

/** Gives the results in turn and keeps the commands. */
function scripted(...results: ProgramResult[]) {
  const commands: string[] = [];
  const fake: Programs = {
    run: async (command, args) => {
      commands.push([command, ...args].join(' '));
      return results.shift() ?? { ran: false, why: 'failed', detail: 'script ended' };
    },
    start: () => ({ ran: false, why: 'failed', detail: 'not here' }),
  };
  return { fake, commands };
}

const ask = (result: ProgramResult, platform = 'linux') =>
  icmpProbe({ programs: scripted(result).fake, platform, ownAddresses: () => ['192.0.2.5'] })(
    V4,
    PATIENCE,
    never(),
  );

describe('icmpProbe', () => {
  it('replied: best time, sent and received', async () => {
    expect(await ask(printed('iputils-replied'))).toEqual({
      outcome: 'replied',
      rttMs: 0.037,
      sent: 2,
      received: 2,
    });
  });

  it('no-reply', async () => {
    expect(await ask(printed('iputils-silent', 1))).toEqual({
      outcome: 'no-reply',
      sent: 2,
      cause: 'timeout',
    });
  });

  it.each(['windows-en-unreachable', 'windows-de-unreachable', 'windows-fr-unreachable'])(
    'unreachable in spite of exit status 0: %s',
    async (name) => {
      expect(await ask(printed(name, 0), 'win32')).toMatchObject({ outcome: 'unreachable', by: '192.0.2.2' });
    },
  );

  it('is nobody there where Windows answers from an address of its own, in any language', async () => {
    for (const name of ['windows-en-unreachable', 'windows-ja-unreachable', 'windows-es-unreachable']) {
      const ownAddresses = () => ['192.0.2.2'];
      const probe = icmpProbe({ programs: scripted(printed(name)).fake, platform: 'win32', ownAddresses });
      expect(await probe(V4, PATIENCE, never())).toMatchObject({
        outcome: 'unreachable',
        cause: 'host-unreachable',
      });
    }
  });

  it('tells a Windows that could not send from one that waited in vain: by the time it took, not by its words', async () => {
    const patience = { timeoutMs: 400, attempts: 1 };
    const after = (delayMs: number): Programs => ({
      run: async () => {
        await new Promise((resolve) => setTimeout(resolve, delayMs));
        return printed('windows-en-failure-short');
      },
      start: () => ({ ran: false, why: 'failed', detail: 'not here' }),
    });
    const ask = (delayMs: number) =>
      icmpProbe({ programs: after(delayMs), platform: 'win32' })(V4, patience, never());
    expect(await ask(0)).toMatchObject({ outcome: 'not-run', cause: 'local-failure' });
    expect(await ask(420)).toEqual({ outcome: 'no-reply', sent: 1, cause: 'timeout' });
  });

  it('unreachable by a local routing error', async () => {
    expect(await ask(printed('iputils-network-unreachable', 2))).toEqual({
      outcome: 'unreachable',
      cause: 'net-unreachable',
      detail: 'network is unreachable',
    });
  });

  it('an echo answered by another address is no reply from this one', async () => {
    expect(await ask(printed('iputils-other-address'))).toMatchObject({
      outcome: 'unreachable',
      by: '192.0.2.77',
    });
  });

  it.each([
    ['iputils-not-permitted', 'setcap'],
    ['busybox-not-permitted', 'setcap'],
    ['iputils-filtered-locally', 'packet filter'],
  ])('not-run, with a way to fix it: %s', async (name, mend) => {
    expect(await ask(printed(name, 2))).toMatchObject({
      outcome: 'not-run',
      mend: expect.stringContaining(mend),
    });
  });

  it('not-run where there is no ping', async () => {
    const sighting = await ask({ ran: false, why: 'not-found', detail: 'ENOENT' });
    expect(sighting).toMatchObject({ outcome: 'not-run', reason: 'there is no ping program on this laptop' });
  });

  it('not-run where ping prints what nobody knows', async () => {
    const strange: ProgramResult = {
      ran: true,
      exitCode: 1,
      stdout: '',
      stderr: 'ping: \u001b[2Joops',
      timedOut: false,
    };
    expect(await ask(strange)).toEqual({
      outcome: 'not-run',
      cause: 'local-failure',
      reason: 'ping ended without a count: ping: \\u001b[2Joops',
    });
  });

  it('asks once more without the options an old busybox does not know', async () => {
    const { fake, commands } = scripted(printed('busybox-bad-option', 1), printed('busybox-replied'));
    const sighting = await icmpProbe({ programs: fake, platform: 'linux' })(V4, PATIENCE, never());
    expect(sighting).toMatchObject({ outcome: 'replied', received: 2 });
    expect(commands[0]).toContain('-i 0.2');
    expect(commands[1]).not.toContain('-i');
  });

  it('asks plainly on a macOS whose ping6 takes short intervals from root alone', async () => {
    const V6 = { address: '2001:db8::10' };
    for (const [shortPing6, has] of [
      [false, false],
      [true, true],
    ]) {
      const { fake, commands } = scripted(printed('macos-v6-replied'));
      await icmpProbe({ programs: fake, platform: 'darwin', shortPing6 })(V6, PATIENCE, never());
      expect(commands[0]?.includes(' -i ')).toBe(has);
    }
    // macOS 15 is Darwin 24.
    expect([
      hasShortPing6('23.6.0', false),
      hasShortPing6('24.0.0', false),
      hasShortPing6('21.1.0', true),
    ]).toEqual([false, true, true]);
  });

  it('asks ping -6 where there is no ping6', async () => {
    const { fake, commands } = scripted(
      { ran: false, why: 'not-found', detail: '' },
      printed('iputils-silent'),
    );
    await icmpProbe({ programs: fake, platform: 'linux' })({ address: '2001:db8::10' }, PATIENCE, never());
    expect(commands.map((command) => command.split(' ')[0])).toEqual(['ping6', 'ping']);
    expect(commands[1]).toContain(' -6 ');
  });

  it('hears this laptop itself, over both families', async () => {
    const probe = icmpProbe({ programs, flavour: 'iputils' });
    for (const address of ['127.0.0.1', '::1']) {
      expect(await probe({ address }, PATIENCE, never())).toMatchObject({ outcome: 'replied', received: 2 });
    }
  });

  it('ends at once when interrupted', async () => {
    const controller = new AbortController();
    const startedAt = performance.now();
    setTimeout(() => controller.abort(), 50);
    const patience = { timeoutMs: 5000, attempts: 20 };
    const sighting = await icmpProbe({ programs })({ address: '127.0.0.1' }, patience, controller.signal);
    expect(sighting).toEqual({ outcome: 'not-run', cause: 'interrupted', reason: 'interrupted' });
    expect(performance.now() - startedAt).toBeLessThan(400);
  });
});

describe('pingCommand', () => {
  // ping(8) of iputils and macOS, `ping /?` of Windows: from memory.
  it.each([
    ['linux', '192.0.2.10', 'iputils', 'ping -n -W 0.5 -c 2 -s 56 -i 0.2 192.0.2.10'],
    ['linux', '192.0.2.10', 'busybox', 'ping -n -W 1 -c 2 -s 56 -i 0.2 192.0.2.10'],
    ['linux', '2001:db8::10', 'iputils', 'ping6 -n -W 0.5 -c 2 -s 56 -i 0.2 2001:db8::10'],
    ['darwin', '192.0.2.10', 'bsd', '/sbin/ping -n -W 500 -c 2 -s 56 -i 0.2 192.0.2.10'],
    ['darwin', '2001:db8::10', 'bsd', '/sbin/ping6 -n -c 2 -s 56 -i 0.2 2001:db8::10'],
  ] as const)('%s %s %s', (platform, address, flavour, expected) => {
    const command = pingCommand(address, PATIENCE, { platform, flavour });
    expect([command?.command, ...(command?.args ?? [])].join(' ')).toBe(expected);
  });

  it('knows Windows, where times are milliseconds', () => {
    const command = pingCommand('192.0.2.10', PATIENCE, { platform: 'win32' });
    expect(command?.command).toMatch(/ping\.exe$/);
    // `ping [-n count] [-l size] [-w timeout] target_name`: learn.microsoft.com, ping; -4 and -6 are for names.
    expect(command?.args.join(' ')).toBe('-w 500 -n 2 -l 32 192.0.2.10');
    const six = pingCommand('2001:db8::10', PATIENCE, { platform: 'win32' });
    expect(six?.args.join(' ')).toBe('-w 500 -n 2 -l 32 2001:db8::10');
  });

  it.each([
    ['linux', 'fe80::10%eth0'],
    ['darwin', 'fe80::10%en0'],
    ['win32', 'fe80::10%12'],
  ])('hands a link-local address over with its port on %s', (platform, address) => {
    expect(pingCommand(address, PATIENCE, { platform })?.args.at(-1)).toBe(address);
  });

  it('does not guess on a system the package does not know', () => {
    expect(pingCommand('192.0.2.10', PATIENCE, { platform: 'haiku' })).toBeUndefined();
  });
});
