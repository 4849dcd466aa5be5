import fc from 'fast-check';
import { expect, it } from 'vitest';
import { searchMtu, type Trial } from '../../src/probe/path-mtu-search.js';

/** A path that passes up to `limit`; what is larger is told by a router (with its MTU), or not at all. */
function path(limit: number, tells: 'router' | 'nobody') {
  const asked: number[] = [];
  return {
    asked,
    ask: (mtu: number): Promise<Trial> => {
      asked.push(mtu);
      if (mtu <= limit) return Promise.resolve({ kind: 'passed' });
      return Promise.resolve(
        tells === 'router' ? { kind: 'failed', tooLong: { by: 'router', mtu: limit } } : { kind: 'failed' },
      );
    },
  };
}

// 1492 and 4352 are plateaus of RFC 1191 Table 7-1, 1500 an Ethernet, 1280 the least of IPv6 (RFC 8200 §5); the rest lie between plateaus.
it.each([1500, 1492, 1280, 1400, 4352, 8999, 85])(
  'finds %i exactly where large ones vanish',
  async (limit) => {
    const { ask } = path(limit, 'nobody');
    expect(await searchMtu({ passes: 84, fails: 9000 }, ask)).toEqual({ mtu: limit, tooLong: undefined });
  },
);

it('needs two questions for the usual fault, a hop at 1500 that tells nobody', async () => {
  const { ask, asked } = path(1500, 'nobody');
  await searchMtu({ passes: 84, fails: 9000 }, ask);
  expect(asked).toEqual([1500, 1501]);
});

it('needs four where the port leaves room for a VLAN tag that is not there (a Linux bridge port at 1500)', async () => {
  const { ask, asked } = path(1504, 'nobody');
  expect((await searchMtu({ passes: 84, fails: 9000 }, ask))?.mtu).toBe(1504);
  expect(asked).toEqual([1500, 1501, 1504, 1505]);
});

it('needs one question where a router told the size', async () => {
  const { ask, asked } = path(1500, 'router');
  const told = { by: 'router', mtu: 1500 } as const;
  expect(await searchMtu({ passes: 84, fails: 9000, told }, ask)).toEqual({ mtu: 1500, tooLong: told });
  expect(asked).toEqual([1500]);
});

it('goes on where a router told a size that does not pass either (a second, smaller hop)', async () => {
  const { ask } = path(1400, 'nobody');
  const told = { by: 'router', mtu: 1500 } as const;
  expect((await searchMtu({ passes: 84, fails: 9000, told }, ask))?.mtu).toBe(1400);
});

it.each([0, 68, 9000, 70_000])('does not follow a told size outside of what is open: %i', async (mtu) => {
  const { ask } = path(1500, 'nobody');
  expect((await searchMtu({ passes: 84, fails: 9000, told: { by: 'router', mtu } }, ask))?.mtu).toBe(1500);
});

it('gives nothing when it is stopped', async () => {
  expect(
    await searchMtu({ passes: 84, fails: 9000 }, () => Promise.resolve({ kind: 'stopped' })),
  ).toBeUndefined();
});

it('is exact for every limit, in a bounded number of questions', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.integer({ min: 84, max: 65_534 }),
      fc.constantFrom('router', 'nobody'),
      async (limit, tells) => {
        const { ask, asked } = path(limit, tells as 'router' | 'nobody');
        const found = await searchMtu({ passes: 84, fails: 65_535 }, ask);
        expect(found?.mtu).toBe(limit);
        expect(asked.length).toBeLessThanOrEqual(29);
      },
    ),
  );
});
