import { expect, it } from 'vitest';
import { mergeEvidence } from '../../src/follow/merge.js';
import { anEvidence, aSighting, T0, T1 } from '../support/evidence.js';

const links = (device: string, askedAt: string) => ({ device, askedAt, links: [] });
const tables = (name: string, askedAt: string) => ({
  switch: name,
  askedAt,
  ports: [],
  forwarding: [],
  neighbours: [],
  ownMacs: [],
});

it('replaces what the devices told that were looked at again, and keeps all else', () => {
  const earlier = anEvidence({
    sightings: [aSighting('192.0.2.11'), aSighting('192.0.2.12')],
    links: [links('vault-1', 'then'), links('vault-2', 'then')],
    switches: [tables('loft-switch', 'then'), tables('far-switch', 'then')],
    notes: ['heard nothing'],
  });
  const later = anEvidence({
    only: ['vault-1', 'loft-switch'],
    startedAt: T1,
    finishedAt: '2030-01-02T04:00:00.000Z',
    sightings: [aSighting('192.0.2.12', { by: false }), aSighting('192.0.2.13')],
    links: [],
    switches: [tables('loft-switch', 'now')],
    notes: ['heard nothing', 'a capture ended'],
  });
  const merged = mergeEvidence(earlier, later);
  expect(merged.sightings.map(({ address, presence }) => `${address} ${presence.outcome}`)).toEqual([
    '192.0.2.11 claimed',
    '192.0.2.12 unclaimed',
    '192.0.2.13 claimed',
  ]);
  // vault-1 was asked and told nothing: what it told before is no news any more.
  expect(merged.links.map(({ device }) => device)).toEqual(['vault-2']);
  expect(merged.switches.map((one) => `${one.switch} ${one.askedAt}`)).toEqual([
    'far-switch then',
    'loft-switch now',
  ]);
  expect(merged).toMatchObject({ startedAt: T0, finishedAt: '2030-01-02T04:00:00.000Z', complete: true });
  expect(merged.only).toBeUndefined();
  expect(merged.notes).toEqual(['heard nothing', 'a capture ended']);
});
