/** A default that one box answers is no proof that there is only one, where only the neighbour table could be read (DESIGN 6). */
import { expect, test } from 'vitest';
import { judge } from '../../src/verdicts/judge.js';
import { aDevice, anEndpoint, anEvidence, aPlan, aSighting, claimed, mac } from '../support/evidence.js';

const plan = aPlan({
  devices: [aDevice('vault-1', { defaultAddresses: ['192.0.2.200'] })],
  endpoints: [anEndpoint('vault-1/mgmt', { address: '192.0.2.11', mac: mac(0x11), services: 'http' })],
});

function said(duplicateCheck: 'proven' | 'not-excluded', stage: 'power-on' | 'configured'): string {
  const presence = claimed([mac(0x11)], { duplicateCheck, duplicateCheckReason: 'only the table was read' });
  const evidence = anEvidence({
    stage,
    sightings: [aSighting('192.0.2.200', { presence }), aSighting('192.0.2.11', { by: false })],
  });
  const { defaults, endpoints } = judge(plan, [evidence], { review: [] });
  return JSON.stringify([defaults[0]?.reasons, stage === 'power-on' ? endpoints[0]?.reasons : []]);
}

const OPEN = 'a second device on this address could not be excluded: only the table was read';

test.each(['power-on', 'configured'] as const)('says so at the default, stage %s', (stage) => {
  expect(said('not-excluded', stage)).toContain(OPEN);
  expect(said('proven', stage)).not.toContain('could not be excluded');
});

test('and at the endpoint that comes up on it, instead of "exactly one device"', () => {
  expect(said('not-excluded', 'power-on')).not.toContain('exactly one device');
  expect(said('proven', 'power-on')).toContain('from exactly one device');
});
