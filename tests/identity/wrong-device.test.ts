import { describe, expect, it } from 'vitest';
import type { Plan } from '../../src/plan/model.js';
import type { AddressSighting, IdentitySighting } from '../../src/sighting/types.js';
import { judge } from '../../src/verdicts/judge.js';
import {
  aClaim,
  aDevice,
  anEndpoint,
  anEvidence,
  aPlan,
  aSighting,
  claimed,
  mac,
} from '../support/evidence.js';

const A = '192.0.2.11';
const B = '192.0.2.12';

const wrong = (plan: Plan, ...sightings: AddressSighting[]) =>
  judge(plan, [anEvidence({ sightings })], { review: [] }).findings.filter(
    ({ code }) => code === 'wrong-device',
  );

const pair = (more: { macs?: boolean; names?: boolean; prefixes?: string[] }): Plan =>
  aPlan({
    devices: [
      aDevice('vault-1', {
        macPrefixes: more.prefixes ?? [],
        ...(more.names ? { controllers: { A: { sysName: 'vault-1-a' }, B: { sysName: 'vault-1-b' } } } : {}),
      }),
    ],
    endpoints: [
      anEndpoint('vault-1/A/mgmt', { address: A, services: 'https', ...(more.macs ? { mac: mac(1) } : {}) }),
      anEndpoint('vault-1/B/mgmt', { address: B, services: 'https', ...(more.macs ? { mac: mac(2) } : {}) }),
    ],
  });

const says = (sysName: string): IdentitySighting => ({ snmp: { sysName } });

describe('the wrong device', () => {
  it('is named where controller A is answered by what says it is controller B', () => {
    const [found, ...more] = wrong(
      pair({ names: true }),
      aSighting(A, { answers: 'https', identity: says('VAULT-1-B') }),
      aSighting(B, { answers: 'https', by: mac(2), identity: says('vault-1-b') }),
    );
    expect(more).toEqual([]);
    expect(found).toMatchObject({ severity: 'stop', subject: 'vault-1/A/mgmt' });
    expect(found?.message).toContain('vault-1/B answers there: sysName is "VAULT-1-B", planned "vault-1-a"');
  });

  it('is a swap where both answer at the other’s address, by name', () => {
    const found = wrong(
      pair({ names: true }),
      aSighting(A, { answers: 'https', identity: says('vault-1-b') }),
      aSighting(B, { answers: 'https', by: mac(2), identity: says('vault-1-a') }),
    );
    expect(found.map(({ subject }) => subject)).toEqual(['vault-1/A/mgmt', 'vault-1/B/mgmt']);
    for (const one of found) expect(one.advice).toContain('swapped with each other');
  });

  it('is a swap where both answer at the other’s address, by MAC', () => {
    const found = wrong(
      pair({ macs: true }),
      aSighting(A, { answers: 'https', by: mac(2) }),
      aSighting(B, { answers: 'https', by: mac(1) }),
    );
    expect(found).toHaveLength(2);
    for (const one of found) expect(one.message).toContain('are swapped');
  });

  it('is told by a MAC outside the prefixes of the device', () => {
    const [found] = wrong(
      pair({ prefixes: ['00:00:5e:00:54'] }),
      aSighting(A, { answers: 'https', by: mac(1) }),
    );
    expect(found?.message).toContain('none of the prefixes of vault-1 (00:00:5e:00:54)');
  });

  it('is nobody where MAC and name fit', () => {
    expect(
      wrong(
        pair({ names: true, macs: true, prefixes: ['00:00:5e:00:53'] }),
        aSighting(A, { answers: 'https', by: mac(1), identity: says('vault-1-a') }),
        aSighting(B, { answers: 'https', by: mac(2), identity: says('vault-1-b') }),
      ),
    ).toEqual([]);
  });

  it('is nobody where the planned name could not be read', () => {
    expect(wrong(pair({ names: true }), aSighting(A, { answers: 'https' }))).toEqual([]);
  });

  it('is nobody at a virtual address that is on the other controller', () => {
    const plan = aPlan({
      devices: [
        aDevice('vault-1', { controllers: { A: { sysName: 'vault-1-a' }, B: { sysName: 'vault-1-b' } } }),
      ],
      endpoints: [
        anEndpoint('vault-1/A/mgmt', { address: A, virtual: true, mac: mac(1) }),
        anEndpoint('vault-1/B/mgmt', { address: B, mac: mac(2) }),
      ],
    });
    expect(wrong(plan, aSighting(A, { by: mac(2), identity: says('vault-1-b') }))).toEqual([]);
  });

  it('is nobody where a virtual router’s frames come from the planned card (RFC 9568 §8.1.2)', () => {
    const presence = claimed(['00:00:5e:00:01:05'], {
      claims: [aClaim('00:00:5e:00:01:05', { frameSource: mac(1) })],
    });
    expect(wrong(pair({ macs: true }), aSighting(A, { answers: 'https', presence }))).toEqual([]);
  });

  it.each<[string, Parameters<typeof aDevice>[1], IdentitySighting, boolean]>([
    [
      'serial among several',
      { identity: { serial: 'sn-77*' } },
      { snmp: { serials: ['X1', 'SN-7711'] } },
      true,
    ],
    ['serial', { identity: { serial: 'sn-77*' } }, { snmp: { serials: ['X1'] } }, false],
    [
      'web title',
      { identity: { title: 'Vault *' } },
      { https: { port: 443, status: 200, title: 'vault manager' } },
      true,
    ],
    [
      'web title',
      { identity: { title: 'Vault *' } },
      { http: { port: 80, status: 200, title: 'Printer' } },
      false,
    ],
    [
      'Redfish UUID',
      { identity: { uuid: '6915e2f4-*' } },
      { redfish: { uuid: '92384634-2938-2342-8820-489239905423' } },
      false,
    ],
    [
      'SSH line',
      { identity: { ssh: 'SSH-2.0-vault*' } },
      { ssh: { line: 'SSH-2.0-vault_7', port: 22 } },
      true,
    ],
    [
      'certificate alternative name',
      { identity: { certificate: 'vault-1.example' } },
      {
        certificate: {
          port: 443,
          subject: 'O=Example',
          issuer: 'O=Example',
          altNames: ['DNS:vault-1.example'],
          fingerprint256: '00',
          validFrom: '2029-01-01T00:00:00.000Z',
          validTo: '2039-01-01T00:00:00.000Z',
          selfSigned: true,
        },
      },
      true,
    ],
  ])('holds the %s against the pattern', (_field, device, identity, fits) => {
    const plan = aPlan({
      devices: [aDevice('vault-1', device)],
      endpoints: [anEndpoint('vault-1/A/mgmt', { address: A, services: 'https' })],
    });
    expect(wrong(plan, aSighting(A, { answers: 'https', identity }))).toHaveLength(fits ? 0 : 1);
  });
});
