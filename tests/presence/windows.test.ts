/** Presence on Windows, with a PowerShell, an `arp` and a `ping` that behave like those of Windows over a link of our own. */
import { describe, expect, it } from 'vitest';
import type { Datagrams } from '../../src/presence/datagrams.js';
import { findPresent } from '../../src/presence/find-present.js';
import { aVantage, mac } from '../support/evidence.js';
import { aSystem, CLOCK, fakePrograms, fakeShell, printed } from '../system/fakes.js';

/** NL_NEIGHBOR_STATE (nldef.h): 0 unreachable, 1 incomplete, 2 probe, 3 delay, 4 stale, 5 reachable. */
type State = 0 | 1 | 2 | 3 | 4 | 5;

interface Link {
  /** Rows left from before the run. */
  readonly before?: Readonly<Record<string, { mac: string; state: State }>>;
  /** Who is on the link now. */
  readonly present: Readonly<Record<string, string>>;
  /** Of those left from before, what Windows finds when it asks again. */
  readonly after?: State;
  readonly shell?: 'none' | 'dies';
}

async function settledOnWindows(link: Link, addresses: readonly string[]) {
  const asked = new Set<string>();
  const table = () => {
    const rows = new Map(Object.entries(link.before ?? {}));
    for (const address of asked) {
      const there = link.present[address];
      const left = link.before?.[address];
      if (left !== undefined) rows.set(address, { mac: left.mac, state: link.after ?? left.state });
      else rows.set(address, { mac: there ?? '00:00:00:00:00:00', state: there === undefined ? 1 : 5 });
    }
    return [...rows];
  };
  const dashed = (text: string) => text.toUpperCase().replaceAll(':', '-');
  let looks = 0;
  const shell = fakeShell((line) => {
    looks += 1;
    if (link.shell === 'dies' && looks > 2) return undefined;
    if (!line.includes('Get-NetNeighbor')) return '';
    const rows = table().map(([IPAddress, row]) => ({
      IPAddress,
      LinkLayerAddress: dashed(row.mac),
      InterfaceAlias: 'Ethernet',
      State: row.state,
    }));
    const own = {
      IPAddress: '224.0.0.22',
      LinkLayerAddress: '01-00-5E-00-00-16',
      InterfaceAlias: 'Ethernet',
      State: 6,
    };
    return JSON.stringify([...rows, own]);
  });
  const programs = fakePrograms(
    {
      // German, as fixtures/os-output/arp-windows-german.txt.
      arp: () =>
        printed(
          [
            'Schnittstelle: 192.0.2.5 --- 0x7',
            '  Internetadresse       Physische Adresse     Typ',
            ...table()
              .filter(([address, row]) => !address.includes(':') && row.mac !== '00:00:00:00:00:00')
              .map(
                ([address, row]) => `  ${address}           ${dashed(row.mac).toLowerCase()}     dynamisch`,
              ),
          ].join('\r\n'),
        ),
      netsh: printed(''),
      ping: (args) =>
        link.present[args.at(-1) ?? ''] === undefined
          ? printed('Zeitüberschreitung der Anforderung.', { exitCode: 1 })
          : printed(`Antwort von ${args.at(-1)}: Bytes=32 Zeit<1ms TTL=64`),
    },
    link.shell === 'none' ? {} : { 'powershell.exe': shell.start },
  );
  const datagrams = (): Datagrams => ({
    send: async (address) => {
      asked.add(address);
      return 'sent';
    },
    provoke: async () => 'silent',
    close: () => {},
  });
  const no = { able: false, reason: 'not here' } as const;
  const vantage = aVantage({
    platform: 'win32 10.0',
    interfaces: [{ name: 'Ethernet', mac: mac(5), addresses: ['192.0.2.5/24', '2001:db8::5/64'], up: true }],
    abilities: {
      ping: { able: true, flavour: 'windows' },
      capture: no,
      arping: no,
      neighbourTable: { able: true },
      privileged: false,
    },
  });
  const settled = await findPresent(
    { addresses, vantage, patienceMs: 300 },
    { system: aSystem(programs, { platform: 'win32' }), clock: CLOCK, datagrams },
    new AbortController().signal,
  );
  return { ...settled, calls: programs.calls, starts: shell.starts() };
}

const GONE = { '192.0.2.20': { mac: mac(0x20), state: 4 as const } };

describe.concurrent('presence on Windows', () => {
  it('finds who answers and who does not, in both families, by one PowerShell', async () => {
    const link = { present: { '192.0.2.20': mac(0x20), '2001:db8::20': mac(0x20) } };
    const { presence, calls, starts } = await settledOnWindows(link, [
      '192.0.2.20',
      '192.0.2.21',
      '2001:db8::20',
      '2001:db8::21',
    ]);
    expect(presence.get('192.0.2.20')).toMatchObject({ outcome: 'claimed', macs: [mac(0x20)] });
    expect(presence.get('2001:db8::20')).toMatchObject({ outcome: 'claimed', macs: [mac(0x20)] });
    expect(presence.get('192.0.2.21')).toMatchObject({ outcome: 'unclaimed' });
    expect(presence.get('2001:db8::21')).toMatchObject({ outcome: 'unclaimed' });
    expect(starts).toBe(1);
    expect(calls.some((call) => /^(start )?(tcpdump|arping)/.test(call))).toBe(false);
  });

  it('is not fooled by a stale row of a device that has gone: Windows finds nobody when it asks', async () => {
    const { presence } = await settledOnWindows({ before: GONE, present: {}, after: 0 }, ['192.0.2.20']);
    expect(presence.get('192.0.2.20')).toMatchObject({ outcome: 'unclaimed' });
  });

  it('never takes a row that stays stale for an answer', async () => {
    const { presence } = await settledOnWindows({ before: GONE, present: {}, after: 4 }, ['192.0.2.20']);
    expect(presence.get('192.0.2.20')).toMatchObject({ outcome: 'not-run', cause: 'local-failure' });
  }, 20_000);

  it('believes a row from before that the device itself confirms by an echo', async () => {
    const link = { before: GONE, present: { '192.0.2.20': mac(0x20) }, after: 4 as const };
    const { presence } = await settledOnWindows(link, ['192.0.2.20']);
    expect(presence.get('192.0.2.20')).toMatchObject({ outcome: 'claimed', macs: [mac(0x20)] });
  });

  it('believes a stale row that Windows made reachable', async () => {
    const { presence } = await settledOnWindows({ before: GONE, present: {}, after: 5 }, ['192.0.2.20']);
    expect(presence.get('192.0.2.20')).toMatchObject({ outcome: 'claimed' });
  });

  it('without PowerShell: finds a new row by arp, and no old one', async () => {
    const link = { before: GONE, present: { '192.0.2.22': mac(0x22) }, shell: 'none' } as const;
    const { presence } = await settledOnWindows(link, ['192.0.2.20', '192.0.2.22', '192.0.2.23']);
    expect(presence.get('192.0.2.20')).toMatchObject({ outcome: 'not-run', cause: 'local-failure' });
    expect(presence.get('192.0.2.22')).toMatchObject({ outcome: 'claimed', macs: [mac(0x22)] });
    expect(presence.get('192.0.2.23')).toMatchObject({ outcome: 'unclaimed' });
  }, 20_000);

  it('where PowerShell ends in the middle: the stale row it told of is not made fresh by the arp that knows no ages', async () => {
    const { presence } = await settledOnWindows({ before: GONE, present: {}, after: 4, shell: 'dies' }, [
      '192.0.2.20',
    ]);
    expect(presence.get('192.0.2.20')).toMatchObject({ outcome: 'not-run', cause: 'local-failure' });
  }, 20_000);
});
