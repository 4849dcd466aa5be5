import { describe, expect, it } from 'vitest';
import { changesBetween, verdictChanges } from '../../src/follow/changes.js';
import { devicesToAsk, siteState } from '../../src/follow/state.js';
import { changeText } from '../../src/follow/wording.js';
import type { AddressSighting } from '../../src/sighting/types.js';
import {
  aDevice,
  aNetwork,
  anEndpoint,
  anEvidence,
  aPlan,
  aSighting,
  aTcp,
  mac,
  notRun,
} from '../support/evidence.js';
import { aFinding, aMatrix, type Found } from '../support/matrix.js';

const A = '192.0.2.11';
const plan = aPlan({
  networks: [aNetwork('mgmt', '192.0.2.0/24')],
  devices: [aDevice('vault-1', { defaultAddresses: ['192.0.2.200'] })],
  endpoints: [anEndpoint('vault-1/B/mgmt', { address: A, services: 'https ssh' })],
});
const state = (sighting: AddressSighting) => siteState(plan, anEvidence({ sightings: [sighting] }));
const said = (before: AddressSighting, now: AddressSighting): string[] =>
  changesBetween(state(before), state(now)).map(changeText);

const THERE = aSighting(A, { by: mac(1), tcp: [aTcp('https'), aTcp('ssh')] });
const SILENT = aSighting(A, { by: false });
const AWAY = aSighting(A, {
  reach: 'no-route',
  reachReason: 'this laptop has no address in mgmt',
  presence: notRun('no route'),
  icmp: notRun('no route'),
});
const ROUTED_SILENT = aSighting(A, {
  reach: 'routed',
  icmp: { outcome: 'no-reply', sent: 3 },
  tcp: [aTcp('https', 'no-reply')],
});

describe('what changed between two looks', () => {
  it.each<[string, AddressSighting, AddressSighting, string[]]>([
    ['nothing new', THERE, THERE, []],
    [
      'another round trip',
      THERE,
      { ...THERE, icmp: { outcome: 'replied', rttMs: 9, sent: 3, received: 2 } },
      [],
    ],
    ['a device came', SILENT, THERE, ['vault-1/B/mgmt: now answers']],
    ['a device went', THERE, SILENT, ['vault-1/B/mgmt: no longer answers']],
    [
      'a device behind a router went',
      { ...THERE, presence: notRun(), reach: 'routed' },
      ROUTED_SILENT,
      ['vault-1/B/mgmt: no longer answers'],
    ],
    [
      'the cable of the laptop was pulled',
      THERE,
      AWAY,
      ['vault-1/B/mgmt: can no longer be asked from here: this laptop has no address in mgmt'],
    ],
    ['and put back where nobody is', AWAY, SILENT, []],
    ['and put back', AWAY, THERE, ['vault-1/B/mgmt: now answers']],
    ['it was not asked before either', AWAY, AWAY, []],
    [
      'a device silent, then not asked',
      SILENT,
      AWAY,
      ['vault-1/B/mgmt: can no longer be asked from here: this laptop has no address in mgmt'],
    ],
    [
      'another device',
      THERE,
      { ...THERE, presence: aSighting(A, { by: mac(2) }).presence },
      [`vault-1/B/mgmt: now answers from another device: ${mac(2)}, before ${mac(1)}`],
    ],
    [
      'a second device',
      THERE,
      { ...THERE, presence: aSighting(A, { by: [mac(2), mac(1)] }).presence },
      [`vault-1/B/mgmt: is claimed by 2 devices at once: ${mac(1)} and ${mac(2)}`],
    ],
    [
      'two devices where nobody was',
      SILENT,
      { ...THERE, presence: aSighting(A, { by: [mac(1), mac(2)] }).presence },
      [
        'vault-1/B/mgmt: now answers',
        `vault-1/B/mgmt: is claimed by 2 devices at once: ${mac(1)} and ${mac(2)}`,
      ],
    ],
    [
      'the same two, told in another order',
      { ...THERE, presence: aSighting(A, { by: [mac(1), mac(2)] }).presence },
      { ...THERE, presence: aSighting(A, { by: [mac(2), mac(1)] }).presence },
      [],
    ],
    [
      'echo went',
      THERE,
      { ...THERE, icmp: { outcome: 'no-reply', sent: 3 } },
      ['vault-1/B/mgmt: no longer replies to echo'],
    ],
    [
      'echo came',
      { ...THERE, icmp: { outcome: 'no-reply', sent: 3 } },
      THERE,
      ['vault-1/B/mgmt: now replies to echo'],
    ],
    ['no ping program any more', THERE, { ...THERE, icmp: notRun('no ping') }, []],
    [
      'a service refuses',
      THERE,
      { ...THERE, tcp: [aTcp('https', 'refused'), aTcp('ssh')] },
      ['vault-1/B/mgmt: https now refuses connections'],
    ],
    [
      'a service is silent',
      THERE,
      { ...THERE, tcp: [aTcp('https'), aTcp('ssh', 'no-reply')] },
      ['vault-1/B/mgmt: ssh is silent now'],
    ],
    [
      'a service came',
      { ...THERE, tcp: [aTcp('https', 'refused')] },
      THERE,
      ['vault-1/B/mgmt: https now accepts connections'],
    ],
  ])('%s', (_name, before, now, lines) => {
    expect(said(before, now)).toEqual(lines);
  });

  it('names a default address with its device', () => {
    const at = '192.0.2.200';
    expect(said(aSighting(at, { by: false }), aSighting(at))).toEqual([
      'default address 192.0.2.200 of vault-1: now answers',
    ]);
  });

  it('says nothing of what only one of the two looks asked', () => {
    expect(changesBetween(new Map(), state(THERE))).toEqual([]);
    expect(changesBetween(state(THERE), new Map())).toEqual([]);
  });
});

describe('what changed between two results', () => {
  const found = (verdict: Found['verdict'], reasons: string[] = []) =>
    aMatrix(plan, () => ({ verdict, reasons }));

  it('says verdicts with the first reason, where there is something to say', () => {
    const lines = (before: Found['verdict'], now: Found['verdict']) =>
      verdictChanges(found(before), found(now, ['https refuses'])).map(changeText);
    expect(lines('missing', 'matches')).toEqual(['vault-1/B/mgmt: was missing, now matches']);
    expect(lines('matches', 'differs')).toEqual(['vault-1/B/mgmt: was matches, now differs: https refuses']);
    expect(lines('matches', 'matches')).toEqual([]);
  });

  it('says once what is to be made safe now', () => {
    const before = found('matches');
    const stop = {
      ...before,
      findings: [aFinding('duplicate-address', 'stop', A, 'two devices'), aFinding('no-echo', 'fix', A, 'x')],
    };
    expect(verdictChanges(before, stop).map(changeText)).toEqual([`${A}: STOP: two devices`]);
    expect(verdictChanges(stop, stop)).toEqual([]);
  });

  it('lets nothing that a device said act on the terminal', () => {
    const [change] = verdictChanges(found('matches'), found('differs', ['\u001b[2J\u202ehi']));
    expect(change === undefined ? '' : changeText(change)).toBe(
      'vault-1/B/mgmt: was matches, now differs: \\u001b[2J\\u202ehi',
    );
  });
});

it('asks the devices concerned and every switch of the plan, and nobody where nothing changed', () => {
  const site = aPlan({
    endpoints: [
      anEndpoint('vault-1/A/mgmt', { address: '192.0.2.11', switch: 'loft-switch' }),
      anEndpoint('vault-2/A/mgmt', { address: '192.0.2.12', switch: 'unlisted' }),
      anEndpoint('loft-switch/mgmt', { address: '192.0.2.2', role: 'switch' }),
    ],
  });
  expect([...devicesToAsk(site, new Set(['vault-2/A/mgmt']))].sort()).toEqual(['loft-switch', 'vault-2']);
  expect([...devicesToAsk(site, new Set())]).toEqual([]);
});
