import { describe, expect, it } from 'vitest';
import { indexOf } from '../../src/plan/plan-index.js';
import { questionsFor } from '../../src/run/questions.js';
import { aDevice, aNetwork, anEndpoint, aPlan } from '../support/evidence.js';

const plan = aPlan({
  networks: [
    aNetwork('mgmt', '192.0.2.0/24', { mtu: 1500 }),
    aNetwork('data-a', '198.51.100.0/25', { mtu: 9000 }),
  ],
  devices: [aDevice('vault-1', { defaultAddresses: ['192.0.2.200'], snmp: 'site-ro' }), aDevice('press-1')],
  endpoints: [
    anEndpoint('vault-1/A/mgmt', { address: '192.0.2.11', services: 'https ssh' }),
    anEndpoint('vault-1/A/alias', { address: '192.0.2.11', services: 'https snmp' }),
    anEndpoint('vault-1/A/data0', { address: '198.51.100.11', role: 'data', services: 'iscsi-target' }),
    anEndpoint('press-1/p1', {
      address: '198.51.100.31',
      role: 'host',
      mtu: 1500,
      defaultAddress: '192.0.2.200',
    }),
    anEndpoint('vault-1/A/fc0', { role: 'data', media: 'fc' }),
  ],
});

describe('questionsFor', () => {
  it('asks each address once, with the services of all its endpoints', () => {
    const question = questionsFor(plan).find(({ address }) => address === '192.0.2.11');
    expect(question?.services.map(({ name }) => name)).toEqual(['https', 'ssh', 'snmp']);
    expect(question?.endpoints.map(({ id }) => id)).toEqual(['vault-1/A/mgmt', 'vault-1/A/alias']);
  });

  it('asks defaults once each, and nothing for an endpoint without an address', () => {
    expect(questionsFor(plan).map(({ address, kind }) => `${kind} ${address}`)).toEqual([
      'planned 192.0.2.11',
      'planned 198.51.100.11',
      'planned 198.51.100.31',
      'default 192.0.2.200',
    ]);
    expect(indexOf(plan).defaults).toHaveLength(2);
  });

  it('takes the MTU of the endpoint before that of its network', () => {
    const mtu = new Map(questionsFor(plan).map((question) => [question.address, question.mtu]));
    expect([...mtu.values()]).toEqual([1500, 9000, 1500, undefined]);
  });

  it("uses a device's credential on its agents and not on its data ports", () => {
    const snmp = new Map(questionsFor(plan).map((question) => [question.address, question.snmp]));
    expect(snmp.get('192.0.2.11')).toBe('site-ro');
    expect(snmp.get('198.51.100.11')).toBeUndefined();
  });

  it('keeps to the devices it was told', () => {
    expect(questionsFor(plan, { only: ['press-1'] }).map(({ address }) => address)).toEqual([
      '198.51.100.31',
      '192.0.2.200',
    ]);
  });

  it('adds swept addresses that are not asked already', () => {
    const swept = questionsFor(plan, { sweep: ['192.0.2.11', '192.0.2.12'] }).filter(
      ({ kind }) => kind === 'swept',
    );
    expect(swept.map(({ address }) => address)).toEqual(['192.0.2.12']);
  });
});
