/** Honesty rule (DESIGN 2): what could not be asked is said, with the reason and the way to fix it. */
import { expect, it } from 'vitest';
import type { Plan, SnmpCredential } from '../../src/plan/model.js';
import { resolveCredential } from '../../src/snmp/credentials.js';
import { judge } from '../../src/verdicts/judge.js';
import { aDevice, anEndpoint, anEvidence, aPlan, aSighting, notRun } from '../support/evidence.js';

const [A, B] = ['192.0.2.11', '192.0.2.12'] as const;
const credential: SnmpCredential = {
  ...{ name: 'site-ro', version: '2c', port: 161, at: { file: 'plan.yaml' } },
  community: { kind: 'env', name: 'SITE_SNMP' },
};
const plan: Plan = aPlan({
  devices: [aDevice('vault-1', { snmp: 'site-ro' })],
  endpoints: [
    anEndpoint('vault-1/A/mgmt', { address: A, services: 'https' }),
    anEndpoint('vault-1/B/mgmt', { address: B, services: 'https' }),
  ],
});

it('says once that a variable was not set, and which devices were not read for it', async () => {
  const resolved = await resolveCredential(credential, { env: {}, readFile: async () => '' });
  const snmp = notRun('missing' in resolved ? resolved.missing : '', undefined, 'secret-missing');
  const sightings = [A, B].map((address) => aSighting(address, { answers: 'https', snmp }));
  const { findings } = judge(plan, [anEvidence({ sightings })], { review: [] });
  const found = findings.filter(({ code }) => code === 'credential-not-given');
  expect(found).toHaveLength(1);
  expect(found[0]).toMatchObject({
    ...{ severity: 'note', subject: 'site-ro', about: ['vault-1/A/mgmt', 'vault-1/B/mgmt'] },
    message:
      'Credential site-ro: the environment variable SITE_SNMP is not set. ' +
      'Nothing was read by SNMP from vault-1/A/mgmt and vault-1/B/mgmt.',
  });
});

it('says nothing where it was at hand, or where another look read the device', () => {
  const without = aSighting(A, {
    answers: 'https',
    snmp: notRun('credential site-ro: the environment variable SITE_SNMP is not set'),
  });
  const read = aSighting(A, {
    answers: 'https',
    snmp: { outcome: 'replied', version: '2c', credential: 'site-ro' },
  });
  for (const looks of [[read], [without, read]]) {
    const evidence = looks.map((sighting) => anEvidence({ sightings: [sighting] }));
    const codes = judge(plan, evidence, { review: [] }).findings.map(({ code }) => code);
    expect(codes).not.toContain('credential-not-given');
  }
});
