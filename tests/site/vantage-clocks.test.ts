import { describe, expect, it } from 'vitest';
import type { Evidence } from '../../src/sighting/types.js';
import { judge } from '../../src/verdicts/judge.js';
import { aNetwork, anEndpoint, anEvidence, aPlan, aSighting, mac } from '../support/evidence.js';

const ADDRESSES = ['192.0.2.11', '192.0.2.12'];
const plan = aPlan({
  networks: [aNetwork('mgmt', '192.0.2.0/24')],
  endpoints: ADDRESSES.map((address, index) =>
    anEndpoint(`vault-${index + 1}/A/mgmt`, { address, services: 'https' }),
  ),
});
/** `ahead`: what each device is ahead of this place's clock. */
const from = (name: string, ahead: readonly number[], clockAheadSeconds?: number): Evidence =>
  anEvidence({
    vantage: { name, ...(clockAheadSeconds === undefined ? {} : { clockAheadSeconds }) },
    sightings: ADDRESSES.map((address, index) =>
      aSighting(address, {
        by: mac(index + 1),
        answers: 'https',
        identity: { http: { port: 443, status: 200, clockAheadSeconds: ahead[index] ?? 0 } },
      }),
    ),
  });
const clocks = (...evidence: Evidence[]) =>
  judge(plan, evidence, { review: [] })
    .findings.filter(({ code }) => code === 'vantage-clock-differs')
    .map(({ message }) => message);

describe('clocks of the places', () => {
  it('are held against each other by what the same devices told both', () => {
    // RFC 9110 section 6.6.1: the Date header is the device's clock; it is the same device, so the places differ.
    expect(clocks(from('hall', [10, 20]), from('rack', [-3590, -3580]))).toEqual([
      'The clock of rack is 60 minutes ahead of that of hall, by the time that 192.0.2.11 and 192.0.2.12 told both.',
    ]);
    expect(clocks(from('rack', [-3590, -3580]), from('hall', [10, 20]))).toHaveLength(1);
  });

  it('are not said to differ where one device was set in between, or they agree', () => {
    expect(clocks(from('hall', [10, 20]), from('rack', [10, 3600]))).toEqual([]);
    expect(clocks(from('hall', [10, 20]), from('rack', [12, 19]))).toEqual([]);
  });

  it('are told by the place itself where the laptop looked from there', () => {
    expect(clocks(from('press-1', [0, 0], -600))).toEqual([
      'The clock of press-1 is 10 minutes behind that of the laptop.',
    ]);
  });
});
