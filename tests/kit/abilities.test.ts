import { describe, expect, it } from 'vitest';
import { type AbilityDeps, findAbilities } from '../../src/kit/abilities.js';
import type { Programs } from '../../src/system/program-types.js';
import type { SystemDeps } from '../../src/system/types.js';
import { aSystem, fakePrograms, fakeStream, NOT_FOUND, NOT_PERMITTED, printed } from '../system/fakes.js';

/** Global header of classic pcap, little-endian, Ethernet (draft-ietf-opsawg-pcap). */
const PCAP_HEAD = new Uint8Array([
  0xd4, 0xc3, 0xb2, 0xa1, 2, 0, 4, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 4, 0, 1, 0, 0, 0,
]);
const ETH0 = { name: 'eth0', mac: '00:00:5e:00:53:05', addresses: ['192.0.2.5/24'], up: true };

function deps(
  programs: Programs,
  { interfaces = [ETH0], ...more }: Partial<SystemDeps> & { interfaces?: AbilityDeps['interfaces'] } = {},
): AbilityDeps {
  return { system: aSystem(programs, more), interfaces };
}

// What each program prints was seen with iputils 20221126, arping 2.23, busybox 1.35.0, tcpdump 4.99.3 and dumpcap 4.0.17 on Debian 12.
const IPUTILS_PING = 'ping from iputils 20221126\nlibcap: yes';
const REPLY = '64 bytes from 127.0.0.1: icmp_seq=1 ttl=64 time=0.259 ms';

describe('ping', () => {
  it('is able where it gets an answer from this laptop', async () => {
    const ping = (args: readonly string[]) => printed(args[0] === '-V' ? IPUTILS_PING : REPLY);
    const { ping: ability } = await findAbilities(deps(fakePrograms({ ping })));
    expect(ability).toEqual({ able: true, flavour: 'iputils', version: '20221126' });
  });

  it('is known as busybox by its replies where it tells no version', async () => {
    const ping = (args: readonly string[]) =>
      args[0] === '-V'
        ? printed('', { exitCode: 1, stderr: "ping: invalid option -- 'V'" })
        : printed('64 bytes from 127.0.0.1: seq=0 ttl=64 time=0.174 ms');
    const { ping: ability } = await findAbilities(deps(fakePrograms({ ping })));
    expect(ability).toEqual({ able: true, flavour: 'busybox' });
  });

  it.each([
    ['absent', NOT_FOUND, 'not installed', 'apt-get install iputils-ping'],
    ['not to be executed', NOT_PERMITTED, 'may not be run', 'setcap'],
    [
      'without its socket',
      printed('', { exitCode: 1, stderr: 'ping: permission denied (are you root?)' }),
      'not permitted',
      'setcap',
    ],
    [
      'answered by nobody',
      printed('1 packets transmitted, 0 received', { exitCode: 1 }),
      'no answer even',
      'sudo',
    ],
  ])('is not able when %s, with reason and mend', async (_, ping, reason, mend) => {
    const { ping: ability } = await findAbilities(deps(fakePrograms({ ping })));
    expect(ability).toMatchObject({
      able: false,
      reason: expect.stringContaining(reason),
      mend: expect.stringContaining(mend),
    });
  });

  it('asks Windows in its own way', async () => {
    const programs = fakePrograms({ ping: printed('Antwort von 127.0.0.1: Bytes=32 Zeit<1ms TTL=128') });
    const { ping } = await findAbilities(deps(programs, { platform: 'win32', effectiveUser: undefined }));
    expect(ping).toEqual({ able: true, flavour: 'windows' });
    expect(programs.calls).toContain('ping -n 1 127.0.0.1');
  });
});

describe('capture', () => {
  it('is able once a program has really opened the port, and is closed again', async () => {
    const stream = fakeStream([PCAP_HEAD], { stderr: 'tcpdump: listening on eth0, link-type EN10MB' });
    const programs = fakePrograms(
      { tcpdump: printed('', { stderr: 'tcpdump version 4.99.3' }) },
      { tcpdump: () => stream },
    );
    const { capture } = await findAbilities(deps(programs));
    expect(capture).toEqual({ able: true, program: 'tcpdump', version: '4.99.3' });
    await stream.ended;
    expect(programs.calls.find((call) => call.startsWith('start tcpdump'))).toContain('-i eth0');
  });

  it('falls to dumpcap where tcpdump is not there', async () => {
    const programs = fakePrograms(
      { dumpcap: printed('Dumpcap (Wireshark) 4.0.17 (Git v4.0.17)') },
      { dumpcap: () => fakeStream([PCAP_HEAD], { stderr: "Capturing on 'eth0'" }) },
    );
    const { capture } = await findAbilities(deps(programs));
    expect(capture).toMatchObject({ able: true, program: 'dumpcap', version: '4.0.17' });
  });

  it('is not able without the right, whatever the program says first', async () => {
    const stderr =
      'Capturing on \'eth0\'\ndumpcap: You do not have permission to capture on device "eth0".\n(socket: Operation not permitted)';
    const programs = fakePrograms({}, { dumpcap: () => fakeStream([], { stderr, endsAtOnce: true }) });
    const { capture } = await findAbilities(deps(programs));
    expect(capture).toEqual({
      able: false,
      cause: 'not-permitted',
      reason: 'dumpcap may not capture here (no right)',
      mend: expect.stringContaining('setcap'),
    });
  });

  it('tries no program on Windows that there is none of, and says that the other is not installed', async () => {
    const programs = fakePrograms({});
    const found = await findAbilities(deps(programs, { platform: 'win32', effectiveUser: undefined }));
    expect(found.capture).toMatchObject({
      able: false,
      cause: 'not-installed',
      reason: 'dumpcap is not installed',
    });
    expect(found.arping).toMatchObject({ able: false, cause: 'not-supported' });
    expect(programs.calls.some((call) => /(tcpdump|arping)/.test(call))).toBe(false);
  });

  it('says that neither is installed', async () => {
    const { capture } = await findAbilities(deps(fakePrograms({})));
    expect(capture).toMatchObject({ able: false, reason: 'neither tcpdump nor dumpcap is installed' });
  });

  it('can not be tried where no port is up', async () => {
    const { capture } = await findAbilities(deps(fakePrograms({}), { interfaces: [{ ...ETH0, up: false }] }));
    expect(capture).toMatchObject({ able: false, reason: expect.stringContaining('no network port is up') });
  });
});

describe('arping', () => {
  it.each([
    ['iputils', 'arping from iputils 20221126', 'Interface "lo" is not ARPable', '20221126'],
    [
      'busybox',
      'BusyBox v1.35.0 (Debian) multi-call binary.',
      'arping: interface lo is not ARPable',
      '1.35.0',
    ],
    ['common', 'ARPing 2.23, by its author', '', '2.23'],
  ])('is %s by what it says of itself', async (flavour, version, tried, number) => {
    const arping = (args: readonly string[]) =>
      args.includes('127.0.0.1') ? printed('', { exitCode: 2, stderr: tried }) : printed(version);
    const programs = fakePrograms({ arping });
    const { arping: ability } = await findAbilities(deps(programs));
    expect(ability).toEqual({ able: true, flavour, version: number });
    // Nothing reaches the wire.
    expect(
      programs.calls.filter((call) => call.startsWith('arping -c')).every((call) => call.includes(' lo ')),
    ).toBe(true);
  });

  it.each([
    'arping: socket: Operation not permitted',
    'arping: libnet_init(LIBNET_LINK, lo): libnet_open_link(): UID/EUID 0 or capability CAP_NET_RAW required',
  ])('has not the right when it says %j', async (stderr) => {
    const arping = (args: readonly string[]) =>
      args.includes('127.0.0.1')
        ? printed('', { exitCode: 1, stderr })
        : printed('arping from iputils 20221126');
    const { arping: ability } = await findAbilities(deps(fakePrograms({ arping })));
    expect(ability).toMatchObject({ able: false, reason: expect.stringContaining('right') });
  });

  it('is not used when it is of an unknown kind', async () => {
    const { arping } = await findAbilities(deps(fakePrograms({ arping: printed('usage: something else') })));
    expect(arping).toMatchObject({ able: false, reason: expect.stringContaining('not known') });
  });
});

describe('rights and table', () => {
  it('are those of user 0', async () => {
    expect((await findAbilities(deps(fakePrograms({})))).privileged).toBe(false);
    expect((await findAbilities(deps(fakePrograms({}), { effectiveUser: () => 0 }))).privileged).toBe(true);
  });

  // Integrity label SIDs, [MS-DTYP] §2.4.2.4: High 12288, Medium 8192.
  it.each([
    ['Mandatory Label\\High Mandatory Level  Label  S-1-16-12288', true],
    ['Obligatorische Beschriftung\\Mittlere Ebene  S-1-16-8192', false],
  ])('of Windows follow the label, not its language: %s', async (stdout, expected) => {
    const programs = fakePrograms({ whoami: printed(stdout) });
    const found = await findAbilities(deps(programs, { platform: 'win32', effectiveUser: undefined }));
    expect(found.privileged).toBe(expected);
  });

  it('read the table from /proc where ip is not there', async () => {
    const head = 'IP address       HW type     Flags       HW address            Mask     Device\n';
    const found = await findAbilities(deps(fakePrograms({}), { readText: async () => head }));
    expect(found.neighbourTable).toEqual({ able: true });
    const none = await findAbilities(deps(fakePrograms({})));
    expect(none.neighbourTable).toMatchObject({
      able: false,
      reason: expect.stringContaining('ip is not installed'),
    });
  });
});
