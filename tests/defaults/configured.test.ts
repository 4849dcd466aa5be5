import { describe, expect, it } from 'vitest';
import type { Plan } from '../../src/plan/model.js';
import type { AddressSighting } from '../../src/sighting/types.js';
import { judge } from '../../src/verdicts/judge.js';
import { aDevice, anEndpoint, anEvidence, aPlan, aSighting, mac, notRun } from '../support/evidence.js';

const D = '192.0.2.200';
const FIRST = '192.0.2.11';
const SECOND = '192.0.2.12';

function plan(device: Parameters<typeof aDevice>[1] = {}, macs: readonly (string | undefined)[] = []): Plan {
  return aPlan({
    devices: ['vault-1', 'vault-2'].map((name) => aDevice(name, { defaultAddresses: [D], ...device })),
    endpoints: [
      anEndpoint('vault-1/mgmt', { address: FIRST, services: 'https', mac: macs[0] }),
      anEndpoint('vault-2/mgmt', { address: SECOND, services: 'https', mac: macs[1] }),
    ],
  });
}

const there = (address: string, by: string): AddressSighting => aSighting(address, { by, answers: 'https' });
const silent = (address: string): AddressSighting => aSighting(address, { by: false });

const run = (given: Plan, ...sightings: AddressSighting[]) =>
  judge(given, [anEvidence({ sightings })], { review: [] });
const codes = ({ findings }: ReturnType<typeof run>): string[] =>
  findings.map(({ code }) => code).filter((code) => code.startsWith('default-'));

// Rules of DESIGN 6. That a box left on its default is missing at its own address: common practice, no source; real in tests/lab/defaults.test.ts.
describe('a default address at stage configured', () => {
  it('is silent when everything was re-addressed', () => {
    const result = run(plan(), there(FIRST, mac(1)), there(SECOND, mac(2)), silent(D));
    expect(result.defaults).toEqual([
      { address: D, devices: ['vault-1', 'vault-2'], macs: [], outcome: 'silent', reasons: [] },
    ]);
    expect(result.findings).toEqual([]);
  });

  it('is not called silent where this laptop let no question out', () => {
    const presence = { ...notRun('the neighbour table stayed full'), unasked: true as const };
    const result = run(
      plan(),
      there(FIRST, mac(1)),
      there(SECOND, mac(2)),
      aSighting(D, { presence, echo: false }),
    );
    expect(result.defaults[0]).toMatchObject({ outcome: 'unproven' });
    expect(result.defaults[0]?.reasons.join()).toContain('stayed full');
  });

  it('is left on by the device whose own address is missing', () => {
    const result = run(plan(), there(FIRST, mac(1)), silent(SECOND), there(D, mac(2)));
    expect(codes(result)).toEqual(['default-address-still-answers']);
    const found = result.findings.find(({ subject }) => subject === D);
    expect(found?.message).toContain('It must be vault-2/mgmt: its own planned address is silent');
    expect(result.defaults[0]).toMatchObject({ outcome: 'answers', macs: [mac(2)] });
  });

  it('is told by its planned MAC, and the missing endpoint says where it is', () => {
    const result = run(plan({}, [mac(1), mac(2)]), silent(FIRST), silent(SECOND), there(D, mac(2)));
    expect(result.findings.find(({ subject }) => subject === D)?.message).toContain(
      'It must be vault-2/mgmt: its MAC is the planned one',
    );
    const absent = result.findings.find(
      ({ subject, code }) => subject === 'vault-2/mgmt' && code === 'endpoint-missing',
    );
    expect(absent?.message).toContain(`Its default address ${D} still answers`);
  });

  it('is a second address of a device that answers at its planned one too', () => {
    const result = run(plan(), there(FIRST, mac(1)), there(SECOND, mac(2)), there(D, mac(1)));
    expect(result.findings.find(({ subject }) => subject === D)?.message).toContain(
      `It must be vault-1/mgmt: the same MAC answers at ${FIRST}`,
    );
  });

  it('clashes when two devices answer it', () => {
    const result = run(plan(), silent(FIRST), silent(SECOND), aSighting(D, { by: [mac(1), mac(2)] }));
    expect(codes(result)).toEqual(['default-address-clash']);
    expect(result.defaults[0]?.outcome).toBe('clash');
    expect(result.findings.find(({ subject }) => subject === D)?.severity).toBe('stop');
  });

  it('is taken when the device is in no part of the plan', () => {
    const result = run(
      plan({ macPrefixes: ['00:00:5e:00:54'] }),
      there(FIRST, '00:00:5e:00:54:01'),
      there(SECOND, '00:00:5e:00:54:02'),
      there(D, mac(0x66)),
    );
    expect(codes(result)).toEqual(['default-address-taken']);
  });

  it('is unproven from another network, with the command that fixes it', () => {
    const far = aSighting(D, {
      reach: 'no-route',
      presence: notRun('x'),
      icmp: notRun('x'),
      reachReason: 'no address in 192.0.2.192/26',
      mend: { add: 'ip addr add 192.0.2.193/26 dev eth0', remove: 'ip addr del 192.0.2.193/26 dev eth0' },
    });
    const result = run(plan(), there(FIRST, mac(1)), there(SECOND, mac(2)), far);
    expect(result.defaults[0]?.outcome).toBe('unproven');
    expect(result.defaults[0]?.reasons.join('\n')).toContain('ip addr del 192.0.2.193/26 dev eth0');
    expect(codes(result)).toEqual([]);
  });

  it('is unproven where it was silent across a router', () => {
    const result = run(plan(), aSighting(D, { reach: 'routed', echo: false }));
    expect(result.defaults[0]?.outcome).toBe('unproven');
  });

  it('that stays the planned address of a device is no finding', () => {
    const given = aPlan({
      devices: [aDevice('vault-1', { defaultAddresses: [D] })],
      endpoints: [anEndpoint('vault-1/mgmt', { address: D, services: 'https' })],
    });
    const result = run(given, there(D, mac(1)));
    expect(result.findings).toEqual([]);
    expect(result.defaults[0]?.reasons).toEqual(['it is also the planned address of vault-1/mgmt']);
  });
});
