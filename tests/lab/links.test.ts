/** Speed, link and path MTU of a site (issue 4): what the ports' own agents say, and one small hop on the way. */
import { describe, expect, it } from 'vitest';
import { type CabledSite, octetText } from './support/cabled-site.js';
import { checkVariation, dataGroup, endpointOf, messageOf, toAct } from './support/cabled-site-run.js';
import { labRefusal } from './support/lab.js';
import { programsRefusal } from './support/services.js';

const refusal = (await labRefusal()) ?? programsRefusal('bridge', 'snmpd', 'snmpwalk', 'ping');
if (refusal !== undefined) console.warn(`SKIPPED: links in the lab: ${refusal}`);

async function walkedSpeed(site: CabledSite, address: string, port: string): Promise<number> {
  const names = await site.walk(address, '1.3.6.1.2.1.31.1.1.1.1');
  const speeds = await site.walk(address, '1.3.6.1.2.1.31.1.1.1.15');
  const own = names
    .find(([, name]) => octetText(name) === port)?.[0]
    .split('.')
    .at(-1);
  return Number(speeds.find(([oid]) => oid.endsWith(`.${own}`))?.[1]);
}

describe.skipIf(refusal !== undefined).concurrent('links', () => {
  it('tells a port at 1G from both ends: the array says it of one, the switch of another', async () => {
    const slow = ['vault-1/A/data0', 'data-switch-b/port12'];
    // ifHighSpeed (RFC 2863) of the two by snmpwalk: 1000. net-snmp 5.9.3 takes the set speed up some 3 s after its start.
    const before = async (site: CabledSite) => {
      const until = Date.now() + 10_000;
      for (const [address, port] of [
        ['192.0.2.11', 'data0'],
        ['192.0.2.22', 'port12'],
      ] as const)
        while ((await walkedSpeed(site, address, port)) !== 1000) {
          if (Date.now() > until) throw new Error(`${address} does not say 1G of ${port}`);
          await new Promise((resolve) => setTimeout(resolve, 200));
        }
    };
    const { matrix, exitCode } = await checkVariation({ slow }, { before });
    expect(toAct(matrix)).toEqual(['speed-below-plan vault-1/A/data0', 'speed-below-plan vault-1/B/data1']);
    expect(messageOf(matrix, 'speed-below-plan', 'vault-1/A/data0')).toBe(
      'vault-1/A/data0 came up at 1G, planned 10G (vault-1 (asked at 192.0.2.11): port data0).',
    );
    expect(messageOf(matrix, 'speed-below-plan', 'vault-1/B/data1')).toBe(
      'vault-1/B/data1 came up at 1G, planned 10G (switch data-switch-b: port12).',
    );
    expect(matrix.findings.map(({ code }) => code)).toContain('paths-unequal');
    // Slow is live (DESIGN 6).
    expect(dataGroup(matrix)).toMatchObject({ verdict: 'redundant' });
    expect(exitCode).toBe(1);
  });

  it('finds one hop at MTU 1500 that drops the large ones in silence, and a port that is set to 1500 itself', async () => {
    const before = async (site: CabledSite) => {
      await site.switches.b.setMtu('port11', 1500);
      await site.controllers.B.setMtu('data0', 1500);
    };
    const { matrix } = await checkVariation({}, { before });
    expect(toAct(matrix)).toEqual(['mtu-below-plan vault-1/A/data1', 'mtu-below-plan vault-1/B/data0']);
    expect(messageOf(matrix, 'mtu-below-plan', 'vault-1/A/data1')).toMatch(/larger ones vanish in silence/);
    expect(messageOf(matrix, 'mtu-below-plan', 'vault-1/B/data0')).toBe(
      'The port of vault-1/B/data0 is set to MTU 1500, planned 9000 (ifMtu of data0 on vault-1 (asked at 192.0.2.12)).',
    );
    expect(endpointOf(matrix, 'vault-1/A/data1')).toMatchObject({
      verdict: 'differs',
      differences: [{ field: 'mtu', planned: '9000', measured: '1500' }],
      sightings: [{ mtu: { outcome: 'smaller', mtu: 1500, asked: 9000, told: 'silent' } }],
    });
    for (const id of ['vault-1/A/data0', 'vault-1/B/data1'])
      expect(endpointOf(matrix, id)?.sightings[0]?.mtu).toEqual({ outcome: 'passes', mtu: 9000 });
    expect(dataGroup(matrix)).toMatchObject({ verdict: 'redundant' });
  });

  it('says of a data port that is switched off that it has no link, and which path it takes along', async () => {
    const { matrix } = await checkVariation(
      {},
      { before: (site) => site.controllers.B.linkUp('data0', false) },
    );
    expect(toAct(matrix)).toEqual([
      'endpoint-missing vault-1/B/data0',
      'link-down vault-1/B/data0',
      'path-missing vault-1/B/data0',
    ]);
    expect(dataGroup(matrix)?.live).toEqual(['vault-1/A/data0', 'vault-1/A/data1', 'vault-1/B/data1']);
  });
});
