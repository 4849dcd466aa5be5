import { describe, expect, it } from 'vitest';
import { aSystem, type FakePrograms, fakePrograms, fakeShell, printed } from './fakes.js';
import { osOutput } from './os-output.js';

function deps(programs: FakePrograms, platform = 'linux', text?: string) {
  return aSystem(programs, { platform, readText: async () => text });
}

describe('reading', () => {
  // Printed by iproute2 6.1.0 with -s.
  it('takes states and the age of the proof on Linux', async () => {
    const stdout =
      '[{"dst":"192.0.2.46","dev":"eth0","used":3,"confirmed":63,"updated":0,"probes":6,"state":["FAILED"]},{"dst":"192.0.2.45","dev":"eth0","lladdr":"00:00:5e:00:53:0c","refcnt":1,"used":3,"confirmed":3,"updated":3,"probes":4,"state":["REACHABLE"]}]';
    const read = await deps(fakePrograms({ ip: printed(stdout) })).neighbours();
    expect(read).toMatchObject({
      ok: true,
      rows: [
        { address: '192.0.2.46', state: 'failed' },
        { address: '192.0.2.45', state: 'present', mac: '00:00:5e:00:53:0c', confirmedAgoS: 3 },
      ],
    });
  });

  // What iproute2 says to an option that it does not know (`ip -Q neigh` to iproute2 6.1.0): exit 255.
  it('reads the text of an ip without JSON, with both families, and asks for JSON once', async () => {
    const programs = fakePrograms({
      ip: (args) =>
        args.includes('-j')
          ? printed('', { exitCode: 255, stderr: 'Option "-j" is unknown, try "ip -help".' })
          : printed(osOutput('neigh-ip.txt')),
    });
    const first = await deps(programs).neighbours();
    const second = await deps(programs).neighbours();
    expect(first.ok && first.rows.map(({ state }) => state)).toEqual(
      expect.arrayContaining(['present', 'failed']),
    );
    expect(first.ok && first.rows.some(({ address }) => address.includes(':'))).toBe(true);
    expect(second).toEqual(first);
    expect(programs.calls).toEqual(['ip -j -s neigh', 'ip neigh', 'ip neigh']);
  });

  it('reads the text where what comes for JSON is none', async () => {
    const programs = fakePrograms({ ip: () => printed(osOutput('neigh-ip.txt')) });
    const read = await deps(programs).neighbours();
    expect(read.ok && read.rows.length).toBeGreaterThan(0);
  });

  it('falls back to /proc/net/arp', async () => {
    const read = await deps(fakePrograms({}), 'linux', osOutput('arp-proc.txt')).neighbours();
    expect(read.ok && read.rows.length).toBeGreaterThan(0);
  });

  it('joins both families on macOS', async () => {
    const programs = fakePrograms({
      arp: printed(osOutput('arp-macos.txt')),
      ndp: printed(osOutput('neigh-ndp-macos.txt')),
    });
    const read = await deps(programs, 'darwin').neighbours();
    expect(read.ok && read.rows.some((row) => row.address.includes(':'))).toBe(true);
    expect(read.ok && read.rows.some((row) => row.address.includes('.'))).toBe(true);
  });

  it('is by one PowerShell on Windows, with states, both families, in one start for the whole run', async () => {
    const shell = fakeShell(() => osOutput('neigh-get-netneighbor.json'));
    const system = deps(fakePrograms({}, { 'powershell.exe': shell.start }), 'win32');
    const first = await system.neighbours();
    const second = await system.neighbours();
    expect(first).toMatchObject({ ok: true, showsQuestions: true });
    expect(first.ok && new Set(first.rows.map(({ state }) => state))).toContain('stale');
    expect(first.ok && first.rows.some(({ address }) => address.includes(':'))).toBe(true);
    expect(second).toEqual(first);
    expect(shell.starts()).toBe(1);
  });

  it.each([
    ['is not there', undefined],
    ['gives an error', () => 'Get-NetNeighbor : refused'],
    ['gives nothing', () => ''],
    ['ends', () => undefined],
  ])('is by arp and netsh on Windows where PowerShell %s: MACs of unknown age', async (_why, answer) => {
    const programs = fakePrograms(
      {
        arp: printed(osOutput('arp-windows-german.txt')),
        netsh: printed(osOutput('neigh-netsh-windows-german.txt')),
      },
      answer === undefined ? {} : { 'powershell.exe': fakeShell(answer).start },
    );
    const read = await deps(programs, 'win32').neighbours();
    expect(read).toMatchObject({ ok: true, showsQuestions: false });
    expect(read.ok && new Set(read.rows.map(({ state }) => state))).toEqual(new Set(['held']));
    expect(read.ok && read.rows.filter(({ address }) => address.includes(':'))).toEqual([
      { address: '2001:db8::7', mac: '00:00:5e:00:53:07', interface: 'Ethernet', state: 'held' },
      { address: 'fe80::200:5eff:fe00:5307', mac: '00:00:5e:00:53:07', interface: 'Ethernet', state: 'held' },
    ]);
  });

  it.each(['linux', 'darwin', 'win32'])('says why where nothing can be read (%s)', async (platform) => {
    const read = await deps(fakePrograms({}), platform).neighbours();
    expect(read).toMatchObject({ ok: false, reason: expect.stringContaining('not installed') });
  });
});

describe('forgetting', () => {
  const few = {
    port: 'eth0',
    addresses: ['192.0.2.45', '2001:db8::45'],
    networks: ['192.0.2.0/24', '2001:db8::/64'],
  };

  it('takes few addresses one by one, many by their network', async () => {
    const programs = fakePrograms({ ip: printed('') });
    expect(await deps(programs).forget(few)).toBe(true);
    expect(programs.calls).toEqual([
      'ip neigh flush to 192.0.2.45 dev eth0',
      'ip -6 neigh flush to 2001:db8::45 dev eth0',
    ]);
    const many = fakePrograms({ ip: printed('') });
    const addresses = Array.from({ length: 200 }, (_, index) => `192.0.2.${index + 1}`);
    await deps(many).forget({ port: 'eth0', addresses, networks: ['192.0.2.0/24'] });
    expect(many.calls).toEqual(['ip neigh flush to 192.0.2.0/24 dev eth0']);
  });

  it('is false where it is not permitted', async () => {
    const ip = printed('', { exitCode: 2, stderr: 'Failed to send flush request: Operation not permitted' });
    expect(await deps(fakePrograms({ ip })).forget(few)).toBe(false);
  });
});
