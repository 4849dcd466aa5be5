/** Which cable is in which hole (issue 4): one bridge a switch, and what snmpd, lldpd and the bridge itself tell of it. */
import { describe, expect, it } from 'vitest';
import { NAMES, PLANNED, SWITCH_NAMES, UPLINK } from './support/cabled-site-plan.js';
import {
  checkVariation,
  dataGroup,
  endpointOf,
  holeOf,
  messageOf,
  toAct,
} from './support/cabled-site-run.js';
import { labRefusal } from './support/lab.js';
import { programsRefusal } from './support/services.js';

const refusal =
  (await labRefusal()) ?? programsRefusal('bridge', 'snmpd', 'snmpwalk', 'lldpd', 'lldpcli', 'ping');
if (refusal !== undefined) console.warn(`SKIPPED: cabling in the lab: ${refusal}`);

const plannedHole = (name: (typeof NAMES)[number]) =>
  `${SWITCH_NAMES[PLANNED[name].switch]} port${PLANNED[name].port}`;
const lldp = (who: 'everybody' | 'switches' | 'nobody') => (who === 'nobody' ? {} : { lldp: who });
const BY = { everybody: 'LLDP', switches: 'forwarding table', nobody: 'forwarding table' } as const;

describe.skipIf(refusal !== undefined).concurrent('cabling', () => {
  // Without LLDP the link between the data switches is told by what lies behind it alone.
  describe.each(['everybody', 'nobody'] as const)('LLDP sent by %s', (who) => {
    const by = BY[who];

    it('finds each cable in its planned hole, and nothing to act on', async () => {
      const { matrix, exitCode } = await checkVariation(lldp(who));
      expect(toAct(matrix)).toEqual([]);
      expect(exitCode).toBe(0);
      for (const name of NAMES) expect(holeOf(matrix, name)).toBe(`${plannedHole(name)} by ${by}`);
      // The link between the data switches is no edge port, though the array's MACs are behind it too.
      const farSide = matrix.evidence[0]?.switches.find((one) => one.switch === 'data-switch-b');
      const link = farSide?.ports.find(({ name }) => name === 'port24')?.ifIndex;
      expect(
        farSide?.forwarding.filter(({ ifIndex }) => ifIndex === link).map((entry) => entry.mac),
      ).toContain(PLANNED['vault-1/A/data0'].mac);
      for (const [name, { far }] of Object.entries(UPLINK)) {
        expect(endpointOf(matrix, name)?.verdict).toBe('matches');
        expect(holeOf(matrix, name)).toBe(`${far} port24 by ${by}`);
      }
      expect(dataGroup(matrix)).toMatchObject({ verdict: 'redundant', singlePoints: [] });
    });

    it('names both ports where a cable is in the wrong port of the right switch', async () => {
      const cables = { 'vault-1/A/data0': { switch: 'a', port: 13 } } as const;
      const { matrix, exitCode } = await checkVariation({ cables, ...lldp(who) });
      expect(toAct(matrix)).toEqual(['wrong-switch-port vault-1/A/data0']);
      const message = messageOf(matrix, 'wrong-switch-port', 'vault-1/A/data0');
      expect(message).toContain(
        'vault-1/A/data0 is on data-switch-a port13, planned data-switch-a port 11 (',
      );
      expect(message).not.toContain('swapped');
      expect(endpointOf(matrix, 'vault-1/A/data0')).toMatchObject({
        verdict: 'differs',
        differences: [{ field: 'switch port', planned: 'data-switch-a port 11' }],
      });
      expect(endpointOf(matrix, 'vault-1/A/data0')?.differences[0]?.evidence).toBe(
        who === 'everybody'
          ? 'data-switch-a: port13 hears vault-1-a by LLDP, its port data0, 00:00:5e:00:53:a1'
          : 'data-switch-a: 00:00:5e:00:53:a1 is learned on port13',
      );
      // It answers, on the right switch: no path is lost by it (DESIGN 6).
      expect(dataGroup(matrix)?.verdict).toBe('redundant');
      expect(exitCode).toBe(1);
    });

    it('names both ports where the link between the switches ends in the wrong one', async () => {
      const { matrix } = await checkVariation({ uplinkAt: 23, ...lldp(who) });
      expect(toAct(matrix)).toEqual([
        'link-down data-switch-b/port24',
        'wrong-switch-port data-switch-a/port24',
      ]);
      expect(messageOf(matrix, 'wrong-switch-port', 'data-switch-a/port24')).toContain(
        'data-switch-a/port24 is on data-switch-b port23, planned data-switch-b port 24 (',
      );
      for (const name of NAMES) expect(holeOf(matrix, name)).toBe(`${plannedHole(name)} by ${by}`);
    });

    it('calls two pairs of swapped cables swapped: in one switch, and from switch to switch', async () => {
      const cables = {
        'vault-1/A/mgmt': { switch: 'loft', port: 12 },
        'vault-1/B/mgmt': { switch: 'loft', port: 11 },
        'vault-1/A/data0': { switch: 'b', port: 11 },
        'vault-1/A/data1': { switch: 'a', port: 11 },
      } as const;
      const { matrix } = await checkVariation({ cables, ...lldp(who) });
      const pairs = [
        ['vault-1/A/data0', 'vault-1/A/data1'],
        ['vault-1/A/data1', 'vault-1/A/data0'],
        ['vault-1/A/mgmt', 'vault-1/B/mgmt'],
        ['vault-1/B/mgmt', 'vault-1/A/mgmt'],
      ] as const;
      expect(toAct(matrix)).toEqual(pairs.map(([id]) => `wrong-switch-port ${id}`));
      for (const [id, other] of pairs)
        expect(messageOf(matrix, 'wrong-switch-port', id)).toContain(
          `The cables of ${id} and ${other} are swapped: ${id} is on ${plannedHole(other)}, planned`,
        );
      // One path each way is still in each switch.
      expect(dataGroup(matrix)).toMatchObject({ verdict: 'redundant', singlePoints: [] });
    });
  });

  describe('both paths in one switch while the plan says two', () => {
    const cables = {
      'vault-1/A/data1': { switch: 'a', port: 13 },
      'vault-1/B/data1': { switch: 'a', port: 14 },
    } as const;
    const found = [
      'single-point vault-1 data',
      'wrong-switch-port vault-1/A/data1',
      'wrong-switch-port vault-1/B/data1',
    ];

    it.each(['switches', 'nobody'] as const)(
      'counts the switch that was measured as the single point (LLDP sent by %s)',
      async (who) => {
        const { matrix, exitCode } = await checkVariation({ cables, ...lldp(who) });
        expect(toAct(matrix)).toEqual(found);
        const group = dataGroup(matrix);
        expect(group).toMatchObject({
          verdict: 'at-risk',
          singlePoints: [{ kind: 'switch', name: 'data-switch-a' }],
          asPlanned: { verdict: 'redundant', singlePoints: [] },
        });
        // Nothing is missing: everything pings, and that is the trap.
        expect(group?.live).toHaveLength(4);
        expect(group?.paths.flatMap((path) => path.things.filter(({ kind }) => kind === 'switch'))).toEqual(
          Array.from({ length: 4 }, () => ({ kind: 'switch', name: 'data-switch-a', source: 'measured' })),
        );
        expect(messageOf(matrix, 'single-point', 'vault-1 data')).toMatch(
          /would not survive the loss of switch data-switch-a; the plan has another path/,
        );
        expect(holeOf(matrix, 'vault-1/B/data1')).toBe('data-switch-a port14 by forwarding table');
        expect(exitCode).toBe(1);
      },
    );

    it('is told from the other end where the switch itself tells no forwarding table', async () => {
      const { matrix } = await checkVariation({
        cables,
        lldp: 'switches',
        agents: { a: { withoutTables: true } },
      });
      expect(toAct(matrix)).toEqual(found);
      expect(messageOf(matrix, 'wrong-switch-port', 'vault-1/A/data1')).toContain(
        'is on data-switch-b port24 or beyond it (it leads to data-switch-a), planned data-switch-b port 11 (',
      );
      expect(dataGroup(matrix)?.singlePoints).toEqual([{ kind: 'switch', name: 'data-switch-a' }]);
    });
  });

  it('says nothing of cables where no switch tells a forwarding table or LLDP', async () => {
    const none = { withoutTables: true };
    const { matrix, exitCode } = await checkVariation({ agents: { loft: none, a: none, b: none } });
    expect(toAct(matrix)).toEqual([]);
    expect(exitCode).toBe(0);
    for (const name of NAMES) {
      expect(holeOf(matrix, name)).toBeUndefined();
      expect(endpointOf(matrix, name)?.reasons).toContainEqual(
        expect.stringMatching(/tells no forwarding table: the switch port is not proven/),
      );
    }
    const switches = dataGroup(matrix)?.paths.flatMap((path) =>
      path.things.filter(({ kind }) => kind === 'switch').map(({ source }) => source),
    );
    expect(switches).toEqual(['planned', 'planned', 'planned', 'planned']);
  });
});
