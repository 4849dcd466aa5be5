import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { statementsOf } from '../../src/wire/arp-claims.js';
import type { CaptureFrame } from '../../src/wire/pcap-frame.js';
import { fromHex } from '../support/hex.js';
import { claimsFrom, readCapture } from '../support/whole-capture.js';

const OWN = '00:00:5e:00:53:0a';
const A = '192.0.2.45';
const FIRST = '00:00:5e:00:53:0b';
const SECOND = '00:00:5e:00:53:0c';

interface Arp {
  readonly op?: 1 | 2;
  readonly sha: string;
  readonly spa: string;
  readonly tpa: string;
  /** Ethernet source, where it is not `sha`. */
  readonly from?: string;
  readonly atMs?: number;
  readonly vlan?: number;
}

/** An ARP frame after the table of RFC 826. */
function arp({ op = 1, sha, spa, tpa, from = sha, atMs = 0, vlan }: Arp): CaptureFrame {
  const address = (text: string) => Buffer.from(text.split('.').map(Number)).toString('hex');
  const tag = vlan === undefined ? '' : `8100${vlan.toString(16).padStart(4, '0')}`;
  const head = `ffffffffffff${from}${tag}0806`;
  const body = `000108000604000${op}${sha}${address(spa)}000000000000${address(tpa)}`;
  const bytes = fromHex(head + body);
  return { bytes, timeUs: atMs * 1000, interfaceIndex: 0, linkType: 1, originalLength: bytes.length };
}

function claimants(frames: readonly CaptureFrame[], address = A): readonly string[] {
  return [...(claimsFrom(frames, OWN).claims.get(address) ?? [])];
}

describe('while testing address A (rules of RFC 5227 §2.1.1 and §2.4, as tabled in shared/standards.md part 2)', () => {
  it('a request with sender A means that A is in use', () => {
    expect(claimants([arp({ sha: FIRST, spa: A, tpa: '192.0.2.1' })])).toEqual([FIRST]);
  });

  it('a reply with sender A means that A is in use', () => {
    expect(claimants([arp({ op: 2, sha: FIRST, spa: A, tpa: '0.0.0.0' })])).toEqual([FIRST]);
  });

  it('a probe of another for A is a wish, not a claim, and 0.0.0.0 is no host', () => {
    const { claims, wanted } = claimsFrom([arp({ sha: FIRST, spa: '0.0.0.0', tpa: A })], OWN);
    expect(claims.size).toBe(0);
    expect(wanted.get(A)).toEqual(new Set([FIRST]));
  });

  it('an own probe echoed by a hub is nothing', () => {
    const { claims, wanted } = claimsFrom([arp({ sha: OWN, spa: '0.0.0.0', tpa: A })], OWN);
    expect([claims.size, wanted.size]).toEqual([0, 0]);
  });

  it('a request of somebody with an address of his own is no claim to A, but to that address', () => {
    const frames = [arp({ sha: FIRST, spa: '192.0.2.9', tpa: A })];
    expect(claimants(frames)).toEqual([]);
    expect(claimants(frames, '192.0.2.9')).toEqual([FIRST]);
  });

  it('another device that uses the address of the laptop itself is a claimant', () => {
    const frames = [
      arp({ sha: OWN, spa: '192.0.2.10', tpa: A }),
      arp({ op: 2, sha: FIRST, spa: '192.0.2.10', tpa: A }),
    ];
    expect(claimants(frames, '192.0.2.10')).toEqual([FIRST]);
  });

  it('an announcement claims, as request and as reply', () => {
    expect(
      claimants([arp({ sha: FIRST, spa: A, tpa: A }), arp({ op: 2, sha: SECOND, spa: A, tpa: A })]),
    ).toEqual([FIRST, SECOND]);
  });
});

describe('who sends for whom (RFC 9568 §8.1.2; cases of shared/standards.md part 3)', () => {
  const VIRTUAL = '00:00:5e:00:01:01';

  it('keeps a virtual MAC apart from the devices that send it', () => {
    const frames = [
      arp({ op: 2, sha: VIRTUAL, spa: A, tpa: '192.0.2.10', from: FIRST }),
      arp({ op: 2, sha: VIRTUAL, spa: A, tpa: '192.0.2.10', from: SECOND }),
    ];
    expect(
      frames.flatMap((frame) => statementsOf(frame)).filter(({ kind }) => kind === 'claims'),
    ).toMatchObject([
      { address: A, mac: VIRTUAL, frameSource: FIRST },
      { address: A, mac: VIRTUAL, frameSource: SECOND },
    ]);
  });

  it('gives both where a virtual and a physical MAC answer', () => {
    const frames = [
      arp({ op: 2, sha: VIRTUAL, spa: A, tpa: '192.0.2.10', from: FIRST }),
      arp({ op: 2, sha: SECOND, spa: A, tpa: '192.0.2.10' }),
    ];
    expect(claimants(frames)).toEqual([VIRTUAL, SECOND]);
  });

  it('never takes a group MAC or zeros for a host (RFC 9542 §2.1.1)', () => {
    const frames = ['01:00:5e:00:00:01', 'ff:ff:ff:ff:ff:ff', '00:00:00:00:00:00'].map((sha) =>
      arp({ op: 2, sha, spa: A, tpa: '192.0.2.10' }),
    );
    expect(claimants(frames)).toEqual([]);
  });
});

it('keeps the time and the VLAN of a frame', () => {
  const frames = [arp({ op: 2, sha: FIRST, spa: A, tpa: '192.0.2.10', atMs: 180, vlan: 21 })];
  expect(frames.flatMap((frame) => statementsOf(frame))).toEqual([
    { kind: 'claims', address: A, mac: FIRST, frameSource: FIRST, timeUs: 180_000, vlan: 21 },
  ]);
});

it('sees two devices on one address in a real capture (iputils arping, tcpdump)', () => {
  const capture = readFileSync(new URL('../../fixtures/packets/arp-cases.pcap', import.meta.url));
  const { claims, wanted } = claimsFrom(readCapture(capture).frames, OWN);
  expect([...claims.keys()]).toEqual([A]);
  expect(claims.get(A)).toEqual(new Set([SECOND, FIRST]));
  expect(wanted.size).toBe(0);
});

it('reads presence from IPv6 neighbour discovery; detection of duplicates is a wish (RFC 4862 §5.4.2)', () => {
  const capture = readFileSync(new URL('../../fixtures/packets/neighbour-discovery.pcap', import.meta.url));
  const { claims, wanted } = claimsFrom(readCapture(capture).frames, OWN);
  expect(claims).toEqual(new Map([['2001:db8::7', new Set(['00:00:5e:00:53:07'])]]));
  expect([...wanted.keys()]).toEqual(['fe80::200:5eff:fe00:5307', '2001:db8::7']);
});
