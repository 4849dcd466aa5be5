/** iSCSI portals of a site (issue 4, RFC 7143 §4.3 and appendix C): real targets (tgt), and one that lists what nobody planned. */
import { describe, expect, it } from 'vitest';
import type { Matrix } from '../../src/matrix/matrix.js';
import { type CabledSite, TARGET } from './support/cabled-site.js';
import { DATA_NAMES, PLANNED } from './support/cabled-site-plan.js';
import { checkVariation, dataGroup, endpointOf, messageOf, toAct } from './support/cabled-site-run.js';
import { labRefusal } from './support/lab.js';
import { programsRefusal } from './support/services.js';

const refusal =
  (await labRefusal()) ?? programsRefusal('bridge', 'snmpd', 'tgtd', 'tgtadm', 'iscsi-ls', 'ping');
if (refusal !== undefined) console.warn(`SKIPPED: portals in the lab: ${refusal}`);

const PORTALS = DATA_NAMES.map((name) => `${PLANNED[name].address}:3260,1`);

/** Every planned portal was asked, and lists in the result what iscsi-ls of libiscsi lists there. */
async function likeIscsiLs(site: CabledSite, matrix: Matrix): Promise<void> {
  for (const name of DATA_NAMES) {
    const text = await site.laptop.must('iscsi-ls', [`iscsi://${PLANNED[name].address}:3260`]);
    const theirs = text.split('\n').filter((line) => line.startsWith('Target:'));
    const seen = endpointOf(matrix, name)?.sightings[0]?.iscsi;
    const ours =
      seen?.outcome !== 'listed'
        ? []
        : seen.targets.flatMap((target) =>
            target.portals.map(
              ({ address, port, tag }) => `Target:${target.name} Portal:${address}:${port},${tag}`,
            ),
          );
    expect(theirs.length).toBeGreaterThan(0);
    expect([...ours].sort()).toEqual([...theirs].sort());
  }
}

describe.skipIf(refusal !== undefined).concurrent('portals', () => {
  it('takes real targets that list only the portal that was asked as planned', async () => {
    const { matrix, exitCode } = await checkVariation({ iscsi: 'tgt' }, { after: likeIscsiLs });
    expect(toAct(matrix)).toEqual([]);
    expect(exitCode).toBe(0);
    for (const name of DATA_NAMES)
      expect(endpointOf(matrix, name)).toMatchObject({
        verdict: 'matches',
        sightings: [
          {
            iscsi: {
              outcome: 'listed',
              targets: [{ name: TARGET, portals: [{ address: PLANNED[name].address, port: 3260 }] }],
            },
          },
        ],
      });
  });

  it('finds the portal that the array lists and nobody planned, on a network kept for the other path', async () => {
    const lists = [...PORTALS, '198.51.100.200:3260,1'];
    const { matrix, exitCode } = await checkVariation({ iscsi: { lists } }, { after: likeIscsiLs });
    expect(toAct(matrix)).toEqual(['portal-unplanned vault-1']);
    expect(messageOf(matrix, 'portal-unplanned', 'vault-1')).toBe(
      'vault-1 lists the portal 198.51.100.200:3260, which the plan does not have; it lies in network data-b, which the plan keeps for vault-1/A and vault-1/B.',
    );
    // Nothing was asked of the unplanned portal: it is not in the plan (DESIGN 5).
    expect(matrix.evidence[0]?.sightings.map(({ address }) => address)).not.toContain('198.51.100.200');
    expect(exitCode).toBe(1);
  });

  it('finds the planned portal that an array lists nowhere, though it takes connections', async () => {
    const { matrix } = await checkVariation({ iscsi: { lists: PORTALS.slice(0, -1) } });
    expect(toAct(matrix)).toEqual(['portal-missing vault-1/B/data1']);
    expect(endpointOf(matrix, 'vault-1/B/data1')).toMatchObject({
      verdict: 'differs',
      differences: [{ field: 'portals', planned: 'lists 198.51.100.140:3260', measured: 'not listed' }],
    });
    expect(dataGroup(matrix)?.verdict).toBe('redundant');
  });
});
