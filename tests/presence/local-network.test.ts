import { describe, expect, it } from 'vitest';
import { type Datagrams, outcomeOf, type SendOutcome } from '../../src/presence/datagrams.js';
import { findPresent } from '../../src/presence/find-present.js';
import { isLocalNetworkDenied } from '../../src/presence/local-network.js';
import { aVantage, mac } from '../support/evidence.js';
import { aSystem, CLOCK, fakePrograms, printed } from '../system/fakes.js';

const ROUTER = { address: '192.0.2.1', mac: mac(1), interface: 'en0', state: 'held' } as const;

describe('the Local Network permission of macOS', () => {
  it.each([
    [
      'every question fails while the router is in the table',
      'darwin',
      { sent: 0, unreachable: 3 },
      [ROUTER],
      true,
    ],
    ['some questions leave', 'darwin', { sent: 1, unreachable: 3 }, [ROUTER], false],
    ['nobody is on that link', 'darwin', { sent: 0, unreachable: 3 }, [], false],
    [
      'somebody is on another port',
      'darwin',
      { sent: 0, unreachable: 3 },
      [{ ...ROUTER, interface: 'en1' }],
      false,
    ],
    [
      'the row is the laptop itself',
      'darwin',
      { sent: 0, unreachable: 3 },
      [{ ...ROUTER, state: 'own-static' as const }],
      false,
    ],
    ['the system is another', 'linux', { sent: 0, unreachable: 3 }, [ROUTER], false],
  ])('%s', (_why, platform, tries, rows, denied) => {
    expect(isLocalNetworkDenied(platform, 'en0', tries, rows)).toBe(denied);
  });
});

it('knows the failures of a socket by their codes', () => {
  const of = (code: string) => outcomeOf(Object.assign(new Error('x'), { code }));
  expect([of('ENETUNREACH'), of('ENETDOWN')]).toEqual(['away', 'away']);
  expect([of('EHOSTUNREACH'), of('EHOSTDOWN'), of('ENOBUFS'), of('EACCES'), outcomeOf(null)]).toEqual([
    'unreachable',
    'down',
    'full',
    'refused',
    'sent',
  ]);
});

/** A macOS whose sockets answer so, an address. The table has the router, which the system itself talks to. */
async function settledOnMacos(
  answer: (address: string) => SendOutcome,
  arp = '? (192.0.2.1) at 0:0:5e:0:53:1 on en0 ifscope [ethernet]',
) {
  const programs = fakePrograms({ arp: printed(arp), ndp: printed('') });
  const datagrams = (): Datagrams => ({
    send: async (address) => answer(address),
    provoke: async () => 'silent',
    close: () => {},
  });
  const no = { able: false, reason: 'not here' } as const;
  const { presence } = await findPresent(
    {
      addresses: ['192.0.2.20', '192.0.2.21'],
      vantage: aVantage({
        interfaces: [{ name: 'en0', mac: mac(5), addresses: ['192.0.2.5/24'], up: true }],
        abilities: { ping: no, capture: no, arping: no, neighbourTable: { able: true }, privileged: false },
      }),
      patienceMs: 300,
    },
    { system: aSystem(programs, { platform: 'darwin' }), clock: CLOCK, datagrams },
    new AbortController().signal,
  );
  return [presence.get('192.0.2.20'), presence.get('192.0.2.21')];
}

describe('presence on macOS', () => {
  it('is not asked where the permission is missing, and says where to give it: nobody is missing', async () => {
    const settled = await settledOnMacos(() => 'unreachable');
    for (const one of settled)
      expect(one).toMatchObject({
        outcome: 'not-run',
        cause: 'local-network-denied',
        mend: expect.stringContaining('Privacy & Security, Local Network'),
      });
  });

  it('is silence where one address alone has no route, and others are sent to', async () => {
    const [one, other] = await settledOnMacos(
      (address) => (address.endsWith('20') ? 'unreachable' : 'sent'),
      '? (192.0.2.1) at 0:0:5e:0:53:1 on en0 ifscope [ethernet]\n? (192.0.2.21) at (incomplete) on en0 ifscope [ethernet]',
    );
    expect(one).toMatchObject({ outcome: 'unclaimed' });
    expect(other).toMatchObject({ outcome: 'unclaimed' });
  });

  it('is silence within the time that macOS remembers an unanswered question', async () => {
    expect(await settledOnMacos(() => 'down')).toMatchObject([
      { outcome: 'unclaimed' },
      { outcome: 'unclaimed' },
    ]);
  });

  it('is a failure of the laptop where there is nobody at all', async () => {
    expect((await settledOnMacos(() => 'unreachable', ''))[0]).toMatchObject({
      outcome: 'not-run',
      cause: 'local-failure',
    });
  });
});
