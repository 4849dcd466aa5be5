/** A router that answers ARP for everything (RFC 1027), by the whole program and each way of asking. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import type { Survey } from '../../src/matrix/survey.js';
import { BEHIND, buildProxySite, NEAR, NOWHERE, type ProxySite, ROUTER_MAC } from './support/wire-proxy.js';
import { endpointOf, found, matchmark, WAYS, wireRefusal } from './support/wire-run.js';

describe.skipIf(wireRefusal !== undefined)('a router that answers ARP for everything', () => {
  let site: ProxySite;
  beforeAll(async () => {
    site = await buildProxySite();
  });
  afterAll(() => site?.lab.remove());

  it.each(WAYS)('is one finding, and no proof of what it answers for (%s)', async (_name, way) => {
    await site.laptop.must('ip', ['neigh', 'flush', 'dev', 'eth0']);
    const { result } = await matchmark<Matrix>(site, ['check', site.planFile], way);
    const proxies = result.findings.filter(({ code }) => code === 'proxy-arp');
    expect(proxies).toHaveLength(1);
    expect(JSON.stringify(proxies)).toContain(ROUTER_MAC);
    expect(found(result, 'duplicate-address')).toEqual([]);
    expect(found(result, 'wrong-device')).toEqual([]);
    expect(result.strangers).toEqual([]);
    for (const [index] of NOWHERE.entries())
      expect(endpointOf(result, `nowhere-${index + 1}/data0`).verdict).toBe('missing');
    expect(endpointOf(result, 'near/data0').verdict).toBe('matches');
    const behind = endpointOf(result, 'behind/data0');
    expect(behind).toMatchObject({ address: BEHIND, verdict: 'matches' });
    expect(behind.reasons.join(' ')).toMatch(new RegExp(`${ROUTER_MAC} answers ARP for everything`));
  });

  it.each(['planFile', 'smallPlanFile'] as const)(
    'makes no strangers of a whole network in a survey (%s)',
    async (plan) => {
      await site.laptop.must('ip', ['neigh', 'flush', 'dev', 'eth0']);
      const { result } = await matchmark<Survey>(site, ['survey', site[plan], '--networks']);
      expect(result.findings.filter(({ code }) => code === 'proxy-arp')).toHaveLength(1);
      // The router itself on both sides, the device on this side, and the one behind, which really answers.
      expect(result.entries.map(({ address }) => address)).toEqual([
        '198.51.100.1',
        NEAR,
        '198.51.100.129',
        BEHIND,
      ]);
    },
  );
});
