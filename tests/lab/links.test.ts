/** Speed, link and path MTU of a site (issue 4): what the ports' own agents say, and one small hop on the way. */
import { describe, expect, it } from 'vitest';
import { checkVariation, dataGroup, endpointOf, messageOf, toAct } from './support/cabled-site-run.js';
import { labRefusal } from './support/lab.js';
import { programsRefusal } from './support/services.js';

const refusal = (await labRefusal()) ?? programsRefusal('bridge', 'snmpd', 'snmpwalk', 'ping');
if (refusal !== undefined) console.warn(`SKIPPED: links in the lab: ${refusal}`);

describe.skipIf(refusal !== undefined)('links', () => {
  it('tells a port at 1G from both ends: the array says it of one, the switch of another', async () => {
    const slow = ['vault-1/A/data0', 'data-switch-b/port12'];
    const { matrix, exitCode } = await checkVariation(
      { slow },
      {
        // ifHighSpeed (RFC 2863) of the two, by snmpwalk.
        after: async (site) => {
          for (const [address, port] of [
            ['192.0.2.11', 'data0'],
            ['192.0.2.22', 'port12'],
          ] as const) {
            const names = await site.walk(address, '1.3.6.1.2.1.31.1.1.1.1');
            const speeds = await site.walk(address, '1.3.6.1.2.1.31.1.1.1.15');
            const octets = Buffer.from(port).toString('hex').toUpperCase().match(/../g)?.join(' ');
            const index = names
              .find(([, name]) => name.startsWith(`"${octets} `))?.[0]
              .split('.')
              .at(-1);
            expect(speeds.find(([oid]) => oid.endsWith(`.${index}`))?.[1]).toBe('1000');
          }
        },
      },
    );
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

  it('finds one hop at MTU 1500 that drops the large ones without a word', async () => {
    const { matrix } = await checkVariation({}, { before: (site) => site.switches.b.setMtu('port11', 1500) });
    expect(toAct(matrix)).toEqual(['mtu-below-plan vault-1/A/data1']);
    expect(endpointOf(matrix, 'vault-1/A/data1')).toMatchObject({
      verdict: 'differs',
      differences: [{ field: 'mtu', planned: '9000', measured: '1500' }],
      sightings: [{ mtu: { outcome: 'smaller', mtu: 1500, asked: 9000, told: 'silent' } }],
    });
    for (const id of ['vault-1/A/data0', 'vault-1/B/data0', 'vault-1/B/data1'])
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
