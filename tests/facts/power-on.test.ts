/** Stage power-on: each row of the table in src/judge/endpoint/power-on.ts. */
import { describe, expect, it } from 'vitest';
import type { Plan } from '../../src/plan/model.js';
import type { AddressSighting, Evidence } from '../../src/sighting/types.js';
import { judge } from '../../src/verdicts/judge.js';
import { aDevice, anEndpoint, anEvidence, aPlan, aSighting, mac, notRun } from '../support/evidence.js';

const D = '192.0.2.200';
const P1 = '192.0.2.11';
const P2 = '192.0.2.12';

const one = (
  device: Parameters<typeof aDevice>[1] = {},
  endpoint: Parameters<typeof anEndpoint>[1] = {},
): Plan =>
  aPlan({
    devices: [aDevice('vault-1', { defaultAddresses: [D], ...device })],
    endpoints: [anEndpoint('vault-1/mgmt', { address: P1, services: 'https', ...endpoint })],
  });
const two = (macs: readonly (string | undefined)[] = []): Plan =>
  aPlan({
    devices: ['vault-1', 'vault-2'].map((name) => aDevice(name, { defaultAddresses: [D] })),
    endpoints: [
      anEndpoint('vault-1/mgmt', { address: P1, mac: macs[0] }),
      anEndpoint('vault-2/mgmt', { address: P2, mac: macs[1] }),
    ],
  });
const silent = (address: string): AddressSighting => aSighting(address, { by: false });

function run(plan: Plan, sightings: readonly AddressSighting[], more: Partial<Evidence> = {}) {
  const evidence = anEvidence({ ...more, stage: 'power-on', sightings, vantage: {} });
  const { endpoints, findings, defaults } = judge(plan, [evidence], { review: [] });
  return {
    verdicts: Object.fromEntries(endpoints.map(({ id, verdict }) => [id, verdict])),
    codes: findings.map(({ code }) => code).sort(),
    reasons: endpoints.flatMap(({ reasons }) => reasons).join('\n'),
    findings,
    defaults,
  };
}

describe('at power-on', () => {
  it('a default that answers from one device of the plan matches, the planned address being silent', () => {
    const { verdicts, codes } = run(one(), [silent(P1), aSighting(D, { by: mac(1) })]);
    expect(verdicts).toEqual({ 'vault-1/mgmt': 'matches' });
    expect(codes).toEqual([]);
  });

  it('a default that nobody claims is missing', () => {
    const { verdicts, codes, findings } = run(one(), [silent(P1), silent(D)]);
    expect(verdicts).toEqual({ 'vault-1/mgmt': 'missing' });
    expect(codes).toContain('endpoint-missing');
    expect(findings.find(({ code }) => code === 'endpoint-missing')?.message).toContain(
      `${D} (its default address)`,
    );
  });

  it('a default on another network is unproven, with the commands', () => {
    const { verdicts, reasons } = run(one(), [
      silent(P1),
      aSighting(D, {
        reach: 'no-route',
        presence: notRun('x'),
        icmp: notRun('x'),
        reachReason: 'no address there',
        mend: { add: 'ADD', remove: 'REMOVE' },
      }),
    ]);
    expect(verdicts).toEqual({ 'vault-1/mgmt': 'unproven' });
    expect(reasons).toContain('ADD');
    expect(reasons).toContain('REMOVE');
  });

  it('two devices on one default are a clash, for both endpoints', () => {
    const { verdicts, codes, defaults } = run(two(), [
      silent(P1),
      silent(P2),
      aSighting(D, { by: [mac(1), mac(2)] }),
    ]);
    expect(verdicts).toEqual({ 'vault-1/mgmt': 'differs', 'vault-2/mgmt': 'differs' });
    expect(codes).toEqual(['default-address-clash', 'default-power-order']);
    expect(defaults[0]?.outcome).toBe('clash');
  });

  it('one default for two devices gives an order and a command for each step', () => {
    const { verdicts, findings, reasons } = run(two(), [
      silent(P1),
      silent(P2),
      aSighting(D, { by: mac(1) }),
    ]);
    expect(verdicts).toEqual({ 'vault-1/mgmt': 'unproven', 'vault-2/mgmt': 'unproven' });
    expect(reasons).toContain('power them on one at a time');
    const order = findings.find(({ code }) => code === 'default-power-order');
    expect(order?.severity).toBe('note');
    expect(order?.advice).toContain('1. vault-1: matchmark check test.yaml --stage power-on --only vault-1');
    expect(order?.advice).toContain('2. vault-2: matchmark check test.yaml --stage power-on --only vault-2');
  });

  it('--only tells which of the two it is', () => {
    const { verdicts, codes } = run(two(), [silent(P1), aSighting(D, { by: mac(1) })], { only: ['vault-1'] });
    expect(verdicts).toEqual({ 'vault-1/mgmt': 'matches', 'vault-2/mgmt': 'unproven' });
    expect(codes).toEqual([]);
  });

  it('a planned MAC tells which of the two it is', () => {
    const { verdicts } = run(two([mac(1), mac(2)]), [silent(P1), silent(P2), aSighting(D, { by: mac(2) })]);
    expect(verdicts).toEqual({ 'vault-1/mgmt': 'unproven', 'vault-2/mgmt': 'matches' });
  });

  it('two controllers with one default are two steps of one device', () => {
    const plan = aPlan({
      devices: [aDevice('vault-1', { defaultAddresses: [D] })],
      endpoints: ['A', 'B'].map((c, index) =>
        anEndpoint(`vault-1/${c}/mgmt`, { address: `192.0.2.1${index}` }),
      ),
    });
    const { findings } = run(plan, [silent(D)]);
    expect(findings.find(({ code }) => code === 'default-power-order')?.message).toContain(
      'vault-1/A/mgmt and vault-1/B/mgmt',
    );
  });

  it('two controllers with two defaults match when both answer', () => {
    const plan = aPlan({
      devices: [aDevice('vault-1', { defaultAddresses: [D, '192.0.2.201'] })],
      endpoints: ['A', 'B'].map((c, index) =>
        anEndpoint(`vault-1/${c}/mgmt`, { address: `192.0.2.1${index}` }),
      ),
    });
    const both = run(plan, [aSighting(D, { by: mac(1) }), aSighting('192.0.2.201', { by: mac(2) })]);
    expect(both.verdicts).toEqual({ 'vault-1/A/mgmt': 'matches', 'vault-1/B/mgmt': 'matches' });
    expect(both.codes).toEqual([]);
    const half = run(plan, [aSighting(D, { by: mac(1) }), silent('192.0.2.201')]);
    expect(half.verdicts).toEqual({ 'vault-1/A/mgmt': 'unproven', 'vault-1/B/mgmt': 'unproven' });
  });

  it('a device outside every prefix of the plan holds the default: taken', () => {
    const { verdicts, codes } = run(one({ macPrefixes: ['00:00:5e:00:54'] }), [
      silent(P1),
      aSighting(D, { by: mac(1) }),
    ]);
    expect(verdicts).toEqual({ 'vault-1/mgmt': 'differs' });
    expect(codes).toEqual(['default-address-taken']);
  });

  it('a device on the planned address before the device has it: taken', () => {
    const { verdicts, findings } = run(one(), [
      aSighting(P1, {
        by: mac(0x66),
        answers: 'https',
        identity: { https: { port: 443, status: 200, title: 'Label printer' } },
      }),
      aSighting(D, { by: mac(1) }),
    ]);
    expect(verdicts).toEqual({ 'vault-1/mgmt': 'differs' });
    const taken = findings.find(({ code }) => code === 'address-taken');
    expect(taken).toMatchObject({ severity: 'stop', subject: 'vault-1/mgmt' });
    expect(taken?.message).toContain('web title "Label printer"');
  });

  it('the device itself at its planned address already: judged there, and noted', () => {
    const { verdicts, codes } = run(one({ macPrefixes: ['00:00:5e:00:53'] }), [
      aSighting(P1, { by: mac(1), answers: 'https' }),
      silent(D),
    ]);
    expect(verdicts).toEqual({ 'vault-1/mgmt': 'matches' });
    expect(codes).toEqual(['already-readdressed']);
  });

  it('an endpoint without any default is left to stage configured', () => {
    const plan = aPlan({ endpoints: [anEndpoint('loft-switch/mgmt', { address: P1, services: 'https' })] });
    expect(run(plan, [silent(P1)]).verdicts).toEqual({ 'loft-switch/mgmt': 'unproven' });
    expect(run(plan, [aSighting(P1, { answers: 'https' })]).verdicts).toEqual({
      'loft-switch/mgmt': 'matches',
    });
  });

  it('a data port of a device whose management has the default is left to stage configured', () => {
    const plan = aPlan({
      devices: [aDevice('vault-1', { defaultAddresses: [D] })],
      endpoints: [
        anEndpoint('vault-1/mgmt', { address: P1 }),
        anEndpoint('vault-1/data0', { address: P2, role: 'data' }),
      ],
    });
    expect(run(plan, [silent(P1), silent(P2), aSighting(D, { by: mac(1) })]).verdicts).toEqual({
      'vault-1/mgmt': 'matches',
      'vault-1/data0': 'unproven',
    });
  });
});
