import { describe, expect, it } from 'vitest';
import { followSite } from '../../src/follow/loop.js';
import { changeText } from '../../src/follow/wording.js';
import type { ObserveDeps } from '../../src/run/observe.js';
import type { PresenceSighting } from '../../src/sighting/types.js';
import { anEndpoint, aPlan, aVantage, claimed, mac, UNCLAIMED } from '../support/evidence.js';

const A = '192.0.2.11';
const B = '192.0.2.12';
const plan = aPlan({
  endpoints: [
    anEndpoint('vault-1/A/mgmt', { address: A, services: 'https' }),
    anEndpoint('vault-2/A/mgmt', { address: B, services: 'https' }),
  ],
});

interface Followed {
  readonly said: string[];
  /** Addresses whose service was proven, by look. */
  readonly proofs: string[][];
  readonly rests: number[];
  readonly matrix: Awaited<ReturnType<typeof followSite>>;
}

/** `there[n]` are the addresses that somebody claims in look n + 1, also where it looks closer; the last one stays. */
async function followed(
  there: readonly (readonly string[])[],
  more: { rounds?: number; fullEvery?: number; stopAfter?: number; processorMs?: () => number } = {},
  date: () => Date = () => new Date('2030-01-02T03:04:05Z'),
): Promise<Followed> {
  const said: string[] = [];
  const proofs: string[][] = [];
  const rests: number[] = [];
  const stop = new AbortController();
  let look = 0;
  const deps = (): ObserveDeps => {
    const now = there[Math.min(look, there.length - 1)] ?? [];
    look += 1;
    const proven: string[] = [];
    proofs.push(proven);
    const never = async (): Promise<never> => {
      throw new Error('not in this test');
    };
    return {
      clock: { now: () => performance.now(), date },
      surroundings: {
        vantage: async () => aVantage(),
        standpoint: () => ({ reach: 'on-link', interface: 'eth0', own: false }),
        findPresent: async ({ addresses }) => ({
          presence: new Map<string, PresenceSighting>(
            addresses.map((address) => [
              address,
              now.includes(address) ? claimed([mac(Number(address.at(-1)))]) : UNCLAIMED,
            ]),
          ),
          ownNeighbours: [],
          proxyArp: [],
          notes: [],
        }),
      },
      probes: {
        icmp: async () => ({ outcome: 'replied', rttMs: 0.3, sent: 1, received: 1 }),
        tcp: async ({ service: { name, port } }) => ({ service: name, port, outcome: 'accepted' }),
        prove: async ({ address, service }) => {
          proven.push(address);
          return { proof: { service: service.name, protocol: 'tcp', port: service.port, outcome: 'proven' } };
        },
        redfish: async () => ({ outcome: 'none', detail: '404' }),
        snmp: never,
        iscsi: never,
        mtu: never,
        links: never,
        switchTables: never,
        fabricTables: never,
        powerSupplies: never,
        resolveCredential: never,
      },
    };
  };
  const matrix = await followSite(
    { plan, stage: 'configured', runId: 'r', version: '1', intervalMs: 5_000, fullEvery: 100, ...more },
    {
      deps,
      processorMs: more.processorMs,
      sleep: async (milliseconds) => {
        rests.push(milliseconds);
      },
      onProgress: () => {},
      onChanges: (changes) => said.push(...changes.map(changeText)),
      onLook: (_matrix, round) => {
        if (round === more.stopAfter) stop.abort();
      },
    },
    stop.signal,
  );
  return { said, proofs, rests, matrix };
}

describe('following a site', () => {
  it('proves all once, then asks little where nothing changes, with the rest between looks', async () => {
    const { said, proofs, rests, matrix } = await followed([[A, B]], { rounds: 4 });
    expect(said).toEqual([]);
    expect(proofs.map((each) => each.length)).toEqual([2, 0, 0, 0]);
    expect(rests).toEqual([5_000, 5_000, 5_000]);
    expect(matrix.summary.matches).toBe(2);
  });

  it('names what went and what came, and proves that device alone again', async () => {
    const { said, proofs, matrix } = await followed([[A], [A, B]], { rounds: 2 });
    expect(said).toEqual(['vault-2/A/mgmt: now answers', 'vault-2/A/mgmt: was missing, now matches']);
    expect(proofs).toEqual([[A], [B]]);
    expect(matrix.endpoints.map(({ id, verdict }) => `${id} ${verdict}`)).toEqual([
      'vault-1/A/mgmt matches',
      'vault-2/A/mgmt matches',
    ]);
    const gone = await followed([[A, B], [B]], { rounds: 3 });
    expect(gone.said[0]).toBe('vault-1/A/mgmt: no longer answers');
    expect(gone.said[1]).toMatch(/^vault-1\/A\/mgmt: was matches, now missing/);
    expect(gone.said).toHaveLength(2);
    expect(gone.matrix.summary).toMatchObject({ matches: 1, missing: 1 });
    expect(gone.matrix.run.complete).toBe(true);
  });

  it('asks everything in full every so often', async () => {
    const { proofs } = await followed([[A, B]], { rounds: 5, fullEvery: 2 });
    expect(proofs.map((each) => each.length)).toEqual([2, 2, 0, 2, 0]);
  });

  it('rests longer where its looks would take more than a tenth of a core', async () => {
    let spentMs = 0;
    const processorMs = (): number => {
      spentMs += 700;
      return spentMs;
    };
    const { rests } = await followed([[A, B]], { rounds: 4, processorMs });
    expect(rests.map(Math.round)).toEqual([5_000, 7_000, 7_000]);
  });

  it('goes on as before where somebody sets the clock back an hour, and ends after it began', async () => {
    const setBack = () => {
      let read = 0;
      return (): Date => {
        read += 1;
        return new Date(read === 1 ? '2030-01-02T03:04:05Z' : '2030-01-02T02:04:10Z');
      };
    };
    for (const fullEvery of [2, 100]) {
      const { said, rests, matrix } = await followed([[A], [A, B]], { rounds: 4, fullEvery }, setBack());
      expect(said).toEqual(['vault-2/A/mgmt: now answers', 'vault-2/A/mgmt: was missing, now matches']);
      expect(rests).toEqual([5_000, 5_000, 5_000]);
      expect(matrix.run.startedAt).toBe('2030-01-02T03:04:05.000Z');
      expect(Date.parse(matrix.run.finishedAt)).toBeGreaterThanOrEqual(Date.parse(matrix.run.startedAt));
    }
  });

  it('gives the last whole result when it is stopped', async () => {
    const { matrix, rests } = await followed([[A], [A, B]], { stopAfter: 2 });
    expect(rests).toHaveLength(2);
    expect(matrix.run.complete).toBe(true);
    expect(matrix.summary.matches).toBe(2);
  });
});
