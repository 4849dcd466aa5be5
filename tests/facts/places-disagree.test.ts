import { describe, expect, it } from 'vitest';
import type { Evidence } from '../../src/sighting/types.js';
import { judge } from '../../src/verdicts/judge.js';
import { aNetwork, anEndpoint, anEvidence, aPlan, aSighting, mac, notRun } from '../support/evidence.js';

const [A, B] = ['198.51.100.11', '198.51.100.12'];
const plan = aPlan({
  networks: [aNetwork('data-a', '198.51.100.0/25')],
  endpoints: [
    anEndpoint('vault-1/A/data0', { role: 'data', address: A, services: 'iscsi-target' }),
    anEndpoint('vault-1/B/data0', { role: 'data', address: B, services: 'iscsi-target' }),
  ],
});
const from = (name: string, last: number, sightings: Evidence['sightings'], startedAt?: string) =>
  anEvidence({
    vantage: {
      name,
      interfaces: [{ name: 'eth0', mac: mac(last), addresses: [`198.51.100.${last}/25`], up: true }],
    },
    sightings,
    ...(startedAt === undefined ? {} : { startedAt }),
  });
const there = (address: string, last: number) =>
  aSighting(address, { by: mac(last), answers: 'iscsi-target' });
const gone = (address: string) => aSighting(address, { by: false, icmp: notRun('nobody there') });
const disagreements = (...evidence: Evidence[]) =>
  judge(plan, evidence, { review: [] }).findings.filter(({ code }) => code === 'places-disagree');

describe('places that disagree', () => {
  it('are said where both stand on the network: what answers the one and not the other', () => {
    const found = disagreements(
      from('press-1', 0x21, [there(A, 1), there(B, 2)]),
      from('press-2', 0x22, [there(A, 1), gone(B)]),
    );
    expect(found).toHaveLength(1);
    expect(found[0]).toMatchObject({ subject: 'vault-1/B/data0', severity: 'fix' });
    expect(found[0]?.message).toBe('vault-1/B/data0 (198.51.100.12): it answers press-1, and not press-2.');
  });

  it('are a note where the looks lie far apart: something may have been changed in between', () => {
    const found = disagreements(
      from('press-1', 0x21, [there(A, 1), there(B, 2)], '2030-01-02T03:00:00.000Z'),
      from('press-2', 0x22, [there(A, 1), gone(B)], '2030-01-02T09:00:00.000Z'),
    );
    expect(found.map(({ severity }) => severity)).toEqual(['note']);
  });

  it('are none where one stands elsewhere: nobody of the network answers it', () => {
    expect(
      disagreements(
        from('press-1', 0x21, [there(A, 1), there(B, 2)]),
        from('press-2', 0x22, [gone(A), gone(B)]),
      ),
    ).toEqual([]);
  });

  it('say a service that refuses one place alone', () => {
    const refusing = {
      ...there(B, 2),
      tcp: [{ port: 3260, service: 'iscsi-target', outcome: 'refused' as const, cause: 'refused' as const }],
      proofs: [],
    };
    const [found] = disagreements(
      from('press-1', 0x21, [there(A, 1), there(B, 2)]),
      from('press-2', 0x22, [there(A, 1), refusing]),
    );
    expect(found?.message).toBe(
      'vault-1/B/data0 (198.51.100.12): iscsi-target answers press-1, and not press-2.',
    );
  });

  it('do not depend on the order of the looks', () => {
    const looks = [
      from('press-1', 0x21, [there(A, 1), there(B, 2)]),
      from('press-2', 0x22, [there(A, 1), gone(B)]),
      from('press-3', 0x23, [gone(A), there(B, 2)]),
    ];
    expect(disagreements(...looks)).toEqual(disagreements(...[...looks].reverse()));
  });
});
