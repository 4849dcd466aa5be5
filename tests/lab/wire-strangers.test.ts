/** Who is a stranger on the link, by the whole program and each way of asking; and the switch at the other end of the laptop's own cable. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import type { Survey } from '../../src/matrix/survey.js';
import { programsRefusal } from './support/services.js';
import { found, matchmark, WAYS, wireRefusal } from './support/wire-run.js';
import { buildWireSite, startLldp, type WireSite } from './support/wire-site.js';
import { mac, STRANGERS } from './support/wire-site-plan.js';

describe.skipIf(wireRefusal !== undefined)('strangers beside a bench of wrong claimants', () => {
  let site: WireSite;
  beforeAll(async () => {
    site = await buildWireSite();
  });
  afterAll(() => site?.lab.remove());

  it.each(WAYS)('survey --networks names the strangers on the whole network, %s', async (_name, way) => {
    await site.laptop.must('ip', ['neigh', 'flush', 'dev', 'eth0']);
    const { result } = await matchmark<Survey>(site, ['survey', site.planFile, '--networks'], way);
    const others = result.entries.filter(({ kind }) => kind === 'other');
    expect(others).toMatchObject(
      STRANGERS.map((address) => ({ address, macs: [mac(0x6b)], network: 'mgmt' })),
    );
    expect(found(result, 'stranger')).toEqual([...STRANGERS]);
    expect(result.asked.networks).toEqual([{ network: 'mgmt', addresses: 254 }]);
    expect(found(result, 'proxy-arp')).toEqual([]);
  });

  it.skipIf(programsRefusal('lldpd', 'lldpcli') !== undefined)(
    "tells the switch port at the other end of the laptop's own cable (IEEE 802.1AB)",
    async () => {
      await startLldp(site);
      const { result } = await matchmark<Matrix>(site, ['check', site.planFile, '--only', 'alone']);
      const [neighbour, ...others] = result.evidence[0]?.ownNeighbours ?? [];
      expect(others).toEqual([]);
      expect(neighbour).toMatchObject({
        localPort: 'eth0',
        sysName: 'loft-switch',
        portDescription: 'port-laptop',
      });
      expect(result.evidence[0]?.notes.join(' ')).toMatch(/eth0 .*port-laptop.* of loft-switch/);
      const kit = await site.laptop.matchmark(['kit', '--listen', '10']);
      expect(kit.stdout.replace(/\s+/g, ' ')).toMatch(/eth0 is cabled to .*port-laptop.* of loft-switch/);
    },
  );
});
