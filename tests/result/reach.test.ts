import { describe, expect, test } from 'vitest';
import { reachSentences } from '../../src/result/reach.js';
import { aNetwork, anEndpoint, anEvidence, aPlan, aSighting, notRun } from '../support/evidence.js';
import { aMatrix, seen } from '../support/matrix.js';

const plan = aPlan({
  networks: [
    aNetwork('mgmt', '192.0.2.0/24'),
    aNetwork('data-a', '198.51.100.0/24'),
    aNetwork('data-b', '203.0.113.0/24'),
  ],
  endpoints: [
    anEndpoint('vault-1/A/mgmt', { network: 'mgmt', address: '192.0.2.11' }),
    anEndpoint('vault-1/A/data0', { network: 'data-a', address: '198.51.100.11' }),
    anEndpoint('vault-1/A/data1', { network: 'data-b', address: '203.0.113.11' }),
    anEndpoint('vault-1/A/fc0', { network: 'fabric-1', media: 'fc' }),
  ],
});

type Reach = 'on-link' | 'routed' | 'no-route';

/** For each vantage the reach of mgmt, data-a and data-b; undefined = not looked at. */
function matrix(from: Readonly<Record<string, readonly (Reach | undefined)[]>>) {
  return aMatrix(
    plan,
    (id) => {
      const index = plan.endpoints.findIndex((endpoint) => endpoint.id === id);
      const sightings = Object.entries(from).flatMap(([vantage, reaches]) => {
        const reach = reaches[index];
        return reach === undefined
          ? []
          : [seen(vantage, aSighting('192.0.2.1', { reach, presence: notRun('-') }))];
      });
      return { verdict: index === 3 ? 'unproven' : 'matches', sightings };
    },
    { evidence: Object.keys(from).map((name) => anEvidence({ vantage: { name } })) },
  );
}

const LIGHT = '1 endpoint without an address is unproven: look at its lamp and record it with attest.';

describe('reach in words', () => {
  test('says what was on the link, what lay behind a router, and what was out of reach', () => {
    expect(reachSentences(matrix({ laptop: ['on-link', 'routed', 'no-route'] }))).toEqual([
      'Looked from laptop: on the same link as mgmt; through a router to data-a; no way to data-b.',
      LIGHT,
    ]);
  });

  test('one sentence a vantage', () => {
    const { length, ...told } = reachSentences(
      matrix({ laptop: ['on-link', 'no-route', 'no-route'], loft: ['no-route', 'on-link', 'on-link'] }),
    );
    expect([length, told[0], told[1]]).toEqual([
      3,
      'Looked from laptop: on the same link as mgmt; no way to data-a and data-b.',
      'Looked from loft: on the same link as data-a and data-b; no way to mgmt.',
    ]);
  });

  test('places that see the same share a sentence', () => {
    expect(reachSentences(matrix({ hall: ['on-link'], loft: ['on-link'], yard: ['routed'] }))).toEqual([
      'Looked from hall and loft: on the same link as mgmt.',
      'Looked from yard: through a router to mgmt.',
      LIGHT,
    ]);
  });

  test('a network that the run was not to look at is not called out of reach', () => {
    expect(reachSentences(matrix({ laptop: ['on-link', undefined, undefined] }))[0]).toBe(
      'Looked from laptop: on the same link as mgmt.',
    );
  });

  test('many vantages are told as a number', () => {
    const many = Object.fromEntries(
      Array.from({ length: 9 }, (_, index) => [`v${index}`, ['on-link'] as const]),
    );
    expect(reachSentences(matrix(many)).slice(-2)).toEqual(['Looked from 3 more vantages.', LIGHT]);
  });
});
