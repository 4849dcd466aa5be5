import { describe, expect, it } from 'vitest';
import { gapsOf } from '../../src/kit/gaps.js';
import { kitText } from '../../src/kit/text.js';
import type { Abilities } from '../../src/sighting/types.js';
import { aVantage } from '../support/evidence.js';

const FULL: Abilities = {
  ping: { able: true, flavour: 'iputils' },
  capture: { able: true, program: 'tcpdump' },
  arping: { able: true, flavour: 'iputils' },
  neighbourTable: { able: true },
  privileged: true,
};
const NO = { able: false, reason: 'it is not there', mend: 'get it' } as const;

function gaps(abilities: Partial<Abilities>, platform = 'linux') {
  return gapsOf(aVantage({ abilities: { ...FULL, ...abilities } }), platform);
}

describe('a gap', () => {
  it('is none where everything is there', () => {
    expect(gaps({})).toEqual([]);
  });

  it.each<[string, Partial<Abilities>, RegExp]>([
    ['no ping', { ping: NO }, /echo.*no endpoint is called missing/s],
    ['a ping that cannot forbid fragments', { ping: { able: true, flavour: 'busybox' } }, /path MTU/],
    ['no capture, but arping', { capture: NO }, /^which switch port/],
    ['neither capture nor arping', { capture: NO, arping: NO }, /no second device/],
    ['no neighbour table', { neighbourTable: NO }, /without rights/],
    [
      'nothing to see presence by',
      { neighbourTable: NO, capture: NO, arping: NO },
      /cannot be told from an absent one/,
    ],
    ['no rights', { privileged: false }, /take turns/],
  ])('tells the cost of %s', (_, abilities, cost) => {
    const found = gaps(abilities);
    expect(found.map((gap) => gap.cost).join('\n')).toMatch(cost);
    expect(found.every((gap) => gap.mend !== undefined)).toBe(true);
  });

  it('is a port without a cable, without an address, and unknown routes', () => {
    const down = { name: 'eth0', mac: '00:00:5e:00:53:05', addresses: [], up: false };
    expect(gapsOf(aVantage({ interfaces: [down], abilities: FULL }), 'linux')[0]?.what).toMatch(
      /no network port is up/,
    );
    const bare = { ...down, up: true };
    expect(gapsOf(aVantage({ interfaces: [bare], abilities: FULL }), 'linux')[0]?.what).toMatch(
      /no network port has an IPv4 address/,
    );
    const lost = gapsOf(aVantage({ abilities: FULL, routesUnknown: 'ip is not installed' }), 'linux');
    expect(lost[0]?.what).toContain('ip is not installed');
  });
});

describe('the text', () => {
  const style = { width: 80, colour: false, unicode: true };

  it('names programs, rights, ports, addresses, and each gap with its mend on one line', () => {
    const vantage = aVantage({ abilities: { ...FULL, capture: NO, privileged: false } });
    const text = kitText(vantage, gapsOf(vantage, 'linux'), style);
    expect(text).toContain('192.0.2.250/24');
    expect(text).toMatch(/capture +no: it is not there/);
    expect(text).toMatch(/administrator +no/);
    expect(text).toMatch(/^2 gaps, and what each costs$/m);
    expect(text).toMatch(/^ {5}to fix: get it$/m);
  });

  it('shows names of ports without letting them act on the terminal', () => {
    const port = { name: 'eth0\u001b[2J', mac: '', addresses: [], up: true };
    const vantage = aVantage({ abilities: FULL, interfaces: [port] });
    expect(kitText(vantage, [], style)).not.toContain('\u001b');
  });
});
