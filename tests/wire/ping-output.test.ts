import { execFileSync } from 'node:child_process';
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readPingOutput } from '../../src/wire/ping-output.js';

const FOLDER = new URL('../../fixtures/os-output/', import.meta.url);

/** The first line of a fixture says where it comes from. */
function fixture(name: string): string {
  return readFileSync(new URL(name, FOLDER), 'utf8').replace(/^#.*\n/, '');
}

const UNREACHABLE = { rttsMs: [], sent: 2 };

/** An ICMP error has a shape on Windows, whatever the language, and no kind. */
function windowsError(detail: string): Partial<ReturnType<typeof readPingOutput>> {
  return { sent: 1, rttsMs: [], unreachable: { cause: 'icmp-error', detail, by: '192.0.2.2' } };
}

/** Each row: fixture -> what it must read as. The words stand in the fixtures; their origin in the fixtures' first lines. */
const CASES: Readonly<Record<string, Partial<ReturnType<typeof readPingOutput>>>> = {
  'ping-iputils-replied.txt': { sent: 2, rttsMs: [0.169, 0.037] },
  'ping-iputils-silent.txt': { sent: 2, rttsMs: [] },
  'ping-iputils-host-unreachable.txt': {
    ...UNREACHABLE,
    unreachable: { cause: 'host-unreachable', detail: 'Destination Host Unreachable', by: '192.0.2.2' },
  },
  'ping-iputils-v6-unreachable.txt': {
    sent: 1,
    unreachable: {
      cause: 'host-unreachable',
      detail: 'Destination unreachable: Address unreachable',
      by: '2001:db8::2',
    },
  },
  'ping-iputils-redirect.txt': { sent: 1, rttsMs: [0.912] },
  'ping-iputils-duplicates.txt': { sent: 1, rttsMs: [0.201] },
  'ping-iputils-other-address.txt': { sent: 1, rttsMs: [], otherAddress: '192.0.2.77' },
  'ping-iputils-network-unreachable.txt': {
    unreachable: { cause: 'net-unreachable', detail: 'network is unreachable' },
  },
  'ping-iputils-not-permitted.txt': { fault: 'not-permitted' },
  'ping-iputils-filtered-locally.txt': { sent: 1, rttsMs: [], fault: 'send-forbidden' },
  'ping-iputils-prohibited.txt': {
    sent: 1,
    unreachable: { cause: 'filtered', detail: 'Packet filtered', by: '198.51.100.1' },
  },
  'ping-busybox-replied.txt': { sent: 2, rttsMs: [0.05, 0.093] },
  'ping-busybox-silent.txt': { sent: 2, rttsMs: [] },
  'ping-busybox-not-permitted.txt': { fault: 'not-permitted' },
  'ping-busybox-bad-option.txt': { fault: 'bad-option' },
  'ping-macos-replied.txt': { sent: 2, rttsMs: [0.411] },
  'ping-macos-unreachable.txt': {
    sent: 1,
    unreachable: { cause: 'host-unreachable', detail: 'Destination Host Unreachable', by: '198.51.100.1' },
  },
  'ping-macos-no-route.txt': {
    sent: 1,
    unreachable: { cause: 'host-unreachable', detail: 'no route to host' },
  },
  'ping-macos-v6-replied.txt': { sent: 1, rttsMs: [0.522] },
  'ping-windows-en-replied.txt': { sent: 2, rttsMs: [1, 1] },
  'ping-windows-en-unreachable.txt': {
    ...UNREACHABLE,
    unreachable: { cause: 'icmp-error', detail: 'Destination host unreachable', by: '192.0.2.2' },
  },
  'ping-windows-en-silent.txt': { sent: 2, rttsMs: [] },
  'ping-windows-en-failure.txt': { sent: 1, rttsMs: [], fault: 'send-failed' },
  'ping-windows-en-v6-replied.txt': { sent: 1, rttsMs: [1] },
  'ping-windows-de-replied.txt': { sent: 1, rttsMs: [1] },
  'ping-windows-de-unreachable.txt': {
    sent: 1,
    rttsMs: [],
    unreachable: { cause: 'icmp-error', detail: 'Zielhost nicht erreichbar', by: '192.0.2.2' },
  },
  'ping-windows-de-silent.txt': { sent: 1, rttsMs: [] },
  'ping-windows-de-v6-replied.txt': { sent: 2, rttsMs: [11, 18] },
  'ping-windows-en-failure-short.txt': { sent: 1, rttsMs: [] },
  'ping-windows-fr-replied-fast.txt': { sent: 1, rttsMs: [1] },
  'ping-windows-fr-failure.txt': { sent: 1, rttsMs: [], fault: 'send-failed' },
  'ping-windows-ru-replied.txt': { sent: 2, rttsMs: [1, 33] },
  'ping-windows-ru-silent.txt': { sent: 1, rttsMs: [] },
  'ping-windows-ru-failure.txt': { sent: 1, rttsMs: [], fault: 'send-failed' },
  'ping-windows-ru-unreachable.txt': windowsError('Заданный узел недоступен'),
  'ping-windows-es-replied.txt': { sent: 2, rttsMs: [1, 72] },
  'ping-windows-es-unreachable.txt': windowsError('Host de destino inaccesible'),
  'ping-windows-ja-replied.txt': { sent: 2, rttsMs: [4, 1] },
  'ping-windows-ja-unreachable.txt': windowsError('宛先ホストに到達できません'),
  'ping-windows-pt-replied.txt': { sent: 2, rttsMs: [1, 2] },
  'ping-windows-pt-unreachable.txt': windowsError('Host de destino inacessível'),
  'ping-windows-pt-silent.txt': { sent: 1, rttsMs: [] },
  'ping-windows-pt-failure.txt': { sent: 1, rttsMs: [], fault: 'send-failed' },
  'ping-windows-pt-v6-replied.txt': { sent: 2, rttsMs: [31, 26] },
  'ping-windows-es-silent.txt': { sent: 1, rttsMs: [] },
  'ping-windows-es-failure.txt': { sent: 1, rttsMs: [], fault: 'send-failed' },
  'ping-windows-de-failure.txt': { sent: 1, rttsMs: [], fault: 'send-failed' },
  'ping-windows-ja-silent.txt': { sent: 1, rttsMs: [] },
  'ping-windows-ja-failure.txt': { sent: 1, rttsMs: [], fault: 'send-failed' },
  'ping-windows-fr-silent.txt': { sent: 1, rttsMs: [] },
  'ping-windows-fr-replied.txt': { sent: 1, rttsMs: [2] },
  'ping-windows-fr-unreachable.txt': {
    sent: 1,
    rttsMs: [],
    unreachable: {
      cause: 'icmp-error',
      detail: "Impossible de joindre l'hôte de destination",
      by: '192.0.2.2',
    },
  },
};

const NOTHING = {
  sent: undefined,
  rttsMs: [],
  otherAddress: undefined,
  unreachable: undefined,
  fault: undefined,
};

describe('readPingOutput', () => {
  it('has a case for every ping fixture', () => {
    const files = readdirSync(FOLDER).filter((name) => /^ping-(iputils|busybox|macos|windows)/.test(name));
    expect(files.sort()).toEqual(Object.keys(CASES).sort());
  });

  it.each(Object.entries(CASES))('%s, with either line end', (name, expected) => {
    const target = name.includes('v6') ? '2001:db8::10' : '192.0.2.10';
    const text = fixture(name);
    expect(readPingOutput(text, target)).toEqual({ ...NOTHING, ...expected });
    expect(readPingOutput(text.replaceAll('\n', '\r\n'), target)).toEqual({ ...NOTHING, ...expected });
  });

  // From memory: languages that put the address first, or write ms in another alphabet.
  it.each([
    ['192.0.2.10 からの応答: バイト数 =32 時間 <1ms TTL=64', [1]],
    ['来自 192.0.2.10 的回复: 字节=32 时间=3ms TTL=64', [3]],
    ['Ответ от 192.0.2.10: число байт=32 время<1мс TTL=64', [1]],
  ])('reads a reply in any display language: %s', (line, rttsMs) => {
    expect(readPingOutput(line, '192.0.2.10').rttsMs).toEqual(rttsMs);
  });

  // iputils 20221126 in a lab; Windows from memory: both write the port behind the address.
  it.each([
    ['64 bytes from fe80::10%eth0: icmp_seq=1 ttl=64 time=0.169 ms', 'fe80::10%eth0', 0.169],
    ['16 bytes from fe80::10%en0, icmp_seq=0 hlim=64 time=0.522 ms', 'fe80::10%en0', 0.522],
    ['Reply from fe80::10%12: time=3ms ', 'fe80::10%12', 3],
    ['Resposta de fe80::10: tempo=3ms', 'fe80::10%12', 3],
  ])('knows the asked address with its port: %s', (line, target, rttMs) => {
    expect(readPingOutput(line, target)).toMatchObject({ rttsMs: [rttMs], otherAddress: undefined });
  });

  it('counts echoes by the statistics alone: a reply has three numbers too', () => {
    const reply = 'Ответ от 192.0.2.10: число байт=32 время=3мс TTL=29';
    expect(readPingOutput(`${reply}\n`, '192.0.2.10').sent).toBeUndefined();
    expect(readPingOutput('    Пакетов: отправлено = 4, получено = 3, потеряно = 1', '192.0.2.10').sent).toBe(
      4,
    );
  });

  it('reads Windows alike in every language, in its code page and as UTF-8', () => {
    const alike = (what: string) =>
      new Set(
        ['en', 'de', 'fr', 'es', 'ru', 'ja', 'pt'].flatMap((language) => {
          const file = new URL(`ping-windows-${language}-${what}.txt`, FOLDER);
          if (!existsSync(file)) return [];
          const { unreachable, fault, rttsMs } = readPingOutput(readFileSync(file, 'utf8'), '192.0.2.10');
          return [JSON.stringify([unreachable?.cause, unreachable?.by, fault, rttsMs.length > 0])];
        }),
      );
    for (const what of ['unreachable', 'silent', 'replied', 'failure'])
      expect([...alike(what)]).toHaveLength(1);
  });

  it('reads the ping of this laptop as that ping means it', () => {
    const text = execFileSync('ping', ['-n', '-c', '2', '-i', '0.2', '127.0.0.1'], { encoding: 'utf8' });
    const reading = readPingOutput(text, '127.0.0.1');
    expect(reading).toMatchObject({ sent: 2, unreachable: undefined, fault: undefined });
    expect(reading.rttsMs).toHaveLength(2);
    const minimum = /= ([\d.]+)\//.exec(text)?.[1];
    expect(Math.min(...reading.rttsMs)).toBeCloseTo(Number(minimum), 2);
  });

  it('reads any text without a throw', () => {
    const words = fc.constantFrom(
      '64 bytes from',
      '192.0.2.10:',
      '=',
      '<1ms',
      'TTL=64',
      ':',
      '::',
      '\n',
      'PING',
      'From',
      'icmp_seq=',
    );
    fc.assert(
      fc.property(fc.array(fc.oneof(words, fc.string({ unit: 'binary' }))), (parts) => {
        readPingOutput(parts.join(' '), '192.0.2.10');
      }),
    );
  });
});
