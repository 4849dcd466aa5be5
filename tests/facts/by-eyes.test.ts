import { describe, expect, it } from 'vitest';
import type { Attestation } from '../../src/sighting/types.js';
import { judge } from '../../src/verdicts/judge.js';
import { anEndpoint, anEvidence, aPlan, aSighting, claimed, mac, T0 } from '../support/evidence.js';

const ID = 'vault-1/A/data0';
const plan = aPlan({
  endpoints: [
    anEndpoint(ID, { address: '192.0.2.11', speedMbps: 10_000, switch: 'loft-1', switchPort: '11' }),
  ],
});
const saw = (item: string, text: string, more: Partial<Attestation> = {}): Attestation => ({
  subject: ID,
  item,
  saw: text,
  by: 'R. Field',
  at: T0,
  ...more,
});
const judged = (...attestations: Attestation[]) =>
  judge(
    plan,
    [anEvidence({ sightings: [aSighting('192.0.2.11', { presence: claimed([mac(11)]) })], attestations })],
    { review: [] },
  );
const facts = (...attestations: Attestation[]) =>
  (judged(...attestations).endpoints[0]?.facts ?? [])
    .filter(({ fact }) => fact === 'speed' || fact === 'switch-port')
    .map(({ fact, state, by, measured }) => ({ fact, state, by, measured }));

describe('speed and switch port that nothing measured', () => {
  it('are open while nobody looked', () => {
    expect(facts()).toMatchObject([
      { fact: 'speed', state: 'unproven', by: '' },
      { fact: 'switch-port', state: 'unproven', by: '' },
    ]);
  });

  it('match by what eyes saw, and say that it was eyes', () => {
    expect(facts(saw('speed', '10G'), saw('cable label', 'loft-1 11'))).toEqual([
      { fact: 'speed', state: 'matches', by: 'attested', measured: '10G' },
      { fact: 'switch-port', state: 'matches', by: 'attested', measured: 'loft-1 11' },
    ]);
  });

  it('differ by what eyes saw, as findings with who saw it', () => {
    const attestations = [
      saw('speed lamp', 'amber, so 1G'),
      saw('switch port', 'loft-2 3', { agrees: false }),
    ];
    expect(facts(...attestations)).toMatchObject([
      { fact: 'speed', state: 'differs', by: 'attested' },
      { fact: 'switch-port', state: 'differs', by: 'attested' },
    ]);
    const said = judged(...attestations).findings.filter(({ code }) => code === 'observation-differs');
    expect(said.map(({ subject, message }) => `${subject} ${message}`)).toEqual([
      expect.stringContaining('speed lamp was seen as "amber, so 1G" by R. Field'),
      expect.stringContaining('switch port was seen as "loft-2 3" by R. Field'),
    ]);
  });

  it('stay open where the words cannot be told and nobody said what they are', () => {
    expect(facts(saw('speed', 'amber'))[0]).toMatchObject({ fact: 'speed', state: 'unproven' });
    expect(facts(saw('speed', 'amber', { agrees: true }))[0]).toMatchObject({
      state: 'matches',
      by: 'attested',
    });
  });
});

it('does not take a label for a word about the light of a port without an address', () => {
  const dark = aPlan({ endpoints: [anEndpoint('vault-1/A/fc0', { media: 'fc', switch: 'loft-1' })] });
  const attestations = [{ ...saw('switch port', 'loft-1'), subject: 'vault-1/A/fc0' }];
  const [endpoint] = judge(dark, [anEvidence({ attestations })], { review: [] }).endpoints;
  expect(endpoint?.facts.find(({ fact }) => fact === 'light')?.state).toBe('unproven');
});
