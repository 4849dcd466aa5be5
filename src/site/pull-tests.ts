/** What the recorded pull tests say against the result. Pure. */

import type { DrillFacts } from '../findings/drill.js';
import { type Finding, finding } from '../findings/index.js';
import type { GroupResult } from '../matrix/matrix.js';
import type { DrillRecord, Evidence } from '../sighting/types.js';

const CODES = { lost: 'drill-lost', 'not-noticed': 'drill-not-noticed' } as const;

/** The last record of each step counts: a step that was repeated after a mend is mended. */
export function judgeDrills(evidence: readonly Evidence[], groups: readonly GroupResult[]): Finding[] {
  const last = new Map<string, DrillRecord>();
  for (const record of evidence.flatMap(({ drills }) => drills)) {
    if (!wasSeen(record)) continue;
    last.set([record.group, record.pulled.kind, record.pulled.name].join('\u0000'), record);
  }
  return [...last.values()].flatMap((record) => {
    if (record.outcome !== 'lost' && record.outcome !== 'not-noticed') return [];
    const group = groups.find(({ name }) => name === record.group);
    const facts = factsOf(record, group);
    return finding(CODES[record.outcome], record.group, facts, {
      evidence: [
        `pulled by ${record.by}, ${record.startedAt} to ${record.finishedAt}, known to ${(record.resolutionMs / 1000).toFixed(1)} s`,
        ...record.gaps.map(
          ({ endpoint, gapMs, returned }) =>
            `${endpoint}: ${(gapMs / 1000).toFixed(1)} s${returned ? '' : ', and not back'}`,
        ),
      ],
      about: record.gaps.map(({ endpoint }) => endpoint),
      // What the computation had said already is no news; it stays to be read beside it.
      ...(record.outcome === 'lost' && facts.known ? { severity: 'note' as const } : {}),
    });
  });
}

/** The step was carried through, and what became of the group was seen. */
function wasSeen({ outcome }: DrillRecord): boolean {
  return outcome !== 'skipped' && outcome !== 'aborted' && outcome !== 'unproven';
}

function factsOf({ pulled, gaps, group, by }: DrillRecord, result: GroupResult | undefined): DrillFacts {
  const longest = [...gaps].sort((a, b) => b.gapMs - a.gapMs)[0];
  return {
    group,
    pulled: `${pulled.kind} ${pulled.name}`,
    by,
    ...(longest === undefined
      ? {}
      : { longest: { endpoint: longest.endpoint, seconds: (longest.gapMs / 1000).toFixed(1) } }),
    known:
      result?.singlePoints.some(({ kind, name }) => kind === pulled.kind && name === pulled.name) ?? false,
  };
}
