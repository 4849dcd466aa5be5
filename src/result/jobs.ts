/** What somebody has to do: causes as numbered jobs, what follows from each beneath it, notes after them. One numbering for page, terminal and CSV. */
import { withCauses } from '../findings/causes.js';
import type { Finding } from '../findings/index.js';
import { orderFindings } from '../findings/order.js';
import { titleOf } from '../findings/rule-of.js';
import { count, plural } from '../text/sentence.js';

/** What follows from a job. `label` is that of the job and its place below it: `3.1`. */
export interface Followed {
  readonly label: string;
  readonly finding: Finding;
  /** Numbers of other jobs that it follows from as well. */
  readonly also: readonly number[];
}

/** A cause that holds the handover up, or a note. Notes are numbered on after the jobs. */
export interface Job {
  readonly number: number;
  readonly finding: Finding;
  readonly follows: readonly Followed[];
}

export interface JobList {
  readonly jobs: readonly Job[];
  readonly notes: readonly Job[];
}

/** `onAnotherSwitch`: endpoints found on a switch that the plan has not for them; only results of older versions need it. */
export function jobListOf(findings: readonly Finding[], onAnotherSwitch?: ReadonlySet<string>): JobList {
  const ordered = orderFindings(findings);
  const parents = parentsOf(ordered, onAnotherSwitch);
  const roots = new Map(ordered.map((finding) => [finding, rootsOf(finding, parents)]));
  const isRoot = (finding: Finding): boolean => roots.get(finding)?.includes(finding) === true;
  const heads = ordered.filter(isRoot);
  const inOrder = [
    ...heads.filter(({ severity }) => severity !== 'note'),
    ...heads.filter(({ severity }) => severity === 'note'),
  ];
  const numbers = new Map(inOrder.map((finding, index) => [finding, index + 1]));
  const beneath = new Map<Finding, Finding[]>();
  for (const finding of ordered) {
    const [first] = roots.get(finding) ?? [];
    if (first === undefined || first === finding) continue;
    beneath.set(first, [...(beneath.get(first) ?? []), finding]);
  }
  const items = inOrder.map((finding, index): Job => {
    const number = index + 1;
    const follows = (beneath.get(finding) ?? []).map((one, place): Followed => {
      const also = (roots.get(one) ?? []).slice(1).flatMap((root) => numbers.get(root) ?? []);
      return { label: `${number}.${place + 1}`, finding: one, also };
    });
    return { number, finding, follows };
  });
  return {
    jobs: items.filter(({ finding }) => finding.severity !== 'note'),
    notes: items.filter(({ finding }) => finding.severity === 'note'),
  };
}

/** What is wrong and with what: the heading of a finding on every screen. */
export function headingOf({ code, subject }: Finding): string {
  return subject === '' ? titleOf(code) : `${titleOf(code)}: ${subject}`;
}

/** `3 more findings follow from it`; empty where none does. */
export function followingWords({ follows }: Pick<Job, 'follows'>): string {
  const amount = follows.length;
  return amount === 0
    ? ''
    : `${count(amount, 'more finding')} ${plural(amount, 'follows', 'follow')} from it`;
}

type Parents = ReadonlyMap<Finding, readonly Finding[]>;

function parentsOf(findings: readonly Finding[], onAnotherSwitch?: ReadonlySet<string>): Parents {
  const told = findings.some(({ follows }) => follows.length > 0);
  // Results of older versions do not say what follows from what, and their findings have no id.
  const following = told ? findings : withCauses(findings, { onAnotherSwitch });
  const byId = new Map<string, Finding>();
  for (const [index, finding] of findings.entries()) {
    const id = following[index]?.id ?? '';
    if (id !== '' && !byId.has(id)) byId.set(id, finding);
  }
  return new Map(
    findings.map((finding, index) => {
      const causes = (following[index]?.follows ?? []).flatMap((id) => byId.get(id) ?? []);
      return [finding, causes.filter((cause) => cause !== finding)];
    }),
  );
}

/** Where the chain of causes ends; the finding itself where it has no cause, or only notes or a circle above it. */
function rootsOf(finding: Finding, parents: Parents): readonly Finding[] {
  const seen = new Set([finding]);
  const roots: Finding[] = [];
  const waiting = [...(parents.get(finding) ?? [])];
  for (let next = waiting.shift(); next !== undefined; next = waiting.shift()) {
    if (seen.has(next)) continue;
    seen.add(next);
    const above = parents.get(next) ?? [];
    if (above.length === 0) roots.push(next);
    else waiting.push(...above);
  }
  const holding = finding.severity === 'note' ? roots : roots.filter(({ severity }) => severity !== 'note');
  return holding.length === 0 ? [finding] : holding;
}
