/**
 * How many findings are kept of what devices say. One that lies without end must not bury what was found of the others: each device may
 * fill its share, a run has a sum, and what is left out is counted and said. What the plan alone gives is never cut. Pure.
 */
import type { Plan } from '../plan/model.js';
import { indexOf } from '../plan/plan-index.js';
import { cutText } from '../text/clean.js';
import { type Finding, finding } from './index.js';

/** Lengths are characters of JSON; a finding is some 500. A share is a number for the device and one more for each of its planned endpoints. */
export interface FindingLimits {
  /** What one device may fill while the run has room. */
  readonly each: readonly [device: number, endpoint: number];
  /** What each gets whatever others have filled. */
  readonly floor: readonly [device: number, endpoint: number];
  /** What hangs on no device of the plan, of one kind: strangers of a network in use are many. */
  readonly elsewhere: number;
  /** What all together may fill beyond their floors. */
  readonly sum: number;
  /** Texts of one finding: its message, and each line of its evidence. */
  readonly text: number;
  /** Lines of evidence. */
  readonly lines: number;
}

export const FINDING_LIMITS: FindingLimits = {
  each: [20_000, 4_000],
  floor: [2_000, 1_000],
  elsewhere: 400_000,
  sum: 2_000_000,
  text: 2_000,
  lines: 32,
};

/** In the order given, which is that of weight: what is left out is what matters least. `site`: findings of what was seen. */
export function boundFindings(
  plan: Plan,
  site: readonly Finding[],
  limits: FindingLimits = FINDING_LIMITS,
): Finding[] {
  const ownerOf = ownersOf(plan);
  const filled = new Map<string, number>();
  const cut = new Map<string, number>();
  let left = limits.sum;
  const kept: Finding[] = [];
  for (const one of site) {
    const short = shortened(one, limits);
    const length = JSON.stringify(short).length;
    const { owner, endpoints } = ownerOf(one);
    const share = ([device, endpoint]: FindingLimits['each']) => device + endpoint * (endpoints ?? 0);
    const each = endpoints === undefined ? limits.elsewhere : share(limits.each);
    const before = filled.get(owner) ?? 0;
    const beyond = Math.max(0, before + length - Math.max(before, share(limits.floor)));
    if (before + length > each || beyond > left) {
      cut.set(owner, (cut.get(owner) ?? 0) + 1);
      continue;
    }
    left -= beyond;
    filled.set(owner, before + length);
    kept.push(short);
  }
  return [
    ...kept,
    ...[...cut].map(([subject, count]) => finding('findings-left-out', subject, { subject, count })),
  ];
}

/** The device that a finding is about, with how many endpoints are planned of it; what hangs on none (strangers, networks) counts by its code. */
function ownersOf(plan: Plan): (finding: Finding) => { readonly owner: string; readonly endpoints?: number } {
  const index = indexOf(plan);
  const byEndpoint = new Map(plan.endpoints.map(({ id, device }) => [id, device]));
  const groups = new Map(plan.groups.map(({ name, members }) => [name, members.length]));
  return ({ subject, code }) => {
    const device = byEndpoint.get(subject) ?? (index.device(subject) === undefined ? undefined : subject);
    if (device !== undefined) return { owner: device, endpoints: index.endpointsOf(device).length };
    const members = groups.get(subject);
    return members === undefined ? { owner: code } : { owner: subject, endpoints: members };
  };
}

function shortened(one: Finding, { text, lines }: FindingLimits): Finding {
  const over = one.evidence.length - lines;
  if (over <= 0 && one.message.length <= text && one.evidence.every((line) => line.length <= text))
    return one;
  const rest = over > 0 ? [`... and ${over} more`] : [];
  return {
    ...one,
    message: cutText(one.message, text),
    evidence: [...one.evidence.slice(0, lines).map((line) => cutText(line, text)), ...rest],
    ...(one.seen === undefined
      ? {}
      : {
          seen: [
            ...one.seen.slice(0, lines).map((line) => ({ ...line, text: cutText(line.text, text) })),
            ...rest.map((words) => ({ text: words })),
          ],
        }),
  };
}
