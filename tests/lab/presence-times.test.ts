/** How fast it is known who is there (DESIGN 10), and the limits of the neighbour table, which all namespaces share: nothing may run beside it. */
import { describe, expect, it } from 'vitest';
import { hostsOf } from '../../src/plan/address.js';
import {
  EVERY,
  HOSTS,
  macOf,
  outcomes,
  PRESENT,
  presenceBench,
  presenceRefusal,
} from './support/presence-bench.js';

if (presenceRefusal !== undefined)
  console.warn(`SKIPPED: the time of presence in the lab: ${presenceRefusal}`);

describe.skipIf(presenceRefusal !== undefined)('the time of presence on the link', () => {
  const bench = presenceBench();

  it.each(EVERY)(
    'settles a /24 with 20 present within 4 s, the present within 0.5 s (%s, without %j)',
    async (who, without) => {
      const { settle } = bench();
      const settled = await settle(who, { addresses: [...hostsOf('192.0.2.0/24')], without });
      expect(outcomes(settled, 'claimed').sort()).toEqual([...PRESENT, '192.0.2.5'].sort());
      expect(outcomes(settled, 'unclaimed')).toHaveLength(254 - PRESENT.length - 1);
      PRESENT.forEach((address, index) => {
        expect(settled.presence[address]).toMatchObject({ macs: [macOf(index % HOSTS)] });
      });
      expect(Math.max(...PRESENT.map((address) => settled.firstMs[address] ?? Infinity))).toBeLessThan(500);
      // arping is one process an address and goes on beside the run; it has asked each present one for two seconds.
      expect(settled.totalMs).toBeLessThan(4000);
    },
  );

  it('keeps to the limits of the neighbour table: 700 silent addresses in two goes', async () => {
    const { laptop, settle } = bench();
    await laptop.addAddress('eth0', '198.51.100.5/22');
    const addresses = [...hostsOf('198.51.100.0/22')].filter((each) => each !== '198.51.100.5').slice(0, 700);
    const settled = await settle('nobody', { addresses });
    await laptop.removeAddress('eth0', '198.51.100.5/22');
    expect(outcomes(settled, 'unclaimed')).toHaveLength(700);
    expect(settled.totalMs).toBeLessThan(14_000);
  });
});
