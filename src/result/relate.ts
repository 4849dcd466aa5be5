/** Which job speaks about which endpoint and which group. Shared by page, terminal and CSV. */
import type { Finding } from '../findings/index.js';
import type { Matrix } from '../matrix/matrix.js';
import { groupBy } from '../text/group-by.js';
import { type Job, type JobList, jobListOf } from './jobs.js';
import { onAnotherSwitch } from './on-another-switch.js';

type Numbers = ReadonlyMap<string, readonly number[]>;

export interface Relations {
  readonly jobList: JobList;
  /** Endpoint id -> jobs about itself, and jobs of which something about itself follows. */
  readonly jobsOf: Numbers;
  /** Endpoint id -> jobs about a group that it is in, and nothing of its own. */
  readonly groupJobsOf: Numbers;
  /** Endpoint id -> notes about it. */
  readonly notesOf: Numbers;
  /** Group name -> jobs that it waits for. */
  readonly jobsOfGroup: Numbers;
  /** Number of a job or note -> endpoints that its own finding is about, in the order of the matrix. */
  readonly about: ReadonlyMap<number, readonly string[]>;
}

export function relateFindings(matrix: Matrix): Relations {
  const jobList = jobListOf(matrix.findings, onAnotherSwitch(matrix));
  const order = new Map(matrix.endpoints.map(({ id }, index) => [id, index]));
  const byAddress = groupBy(matrix.endpoints, ({ address }) => address);
  const groups = new Set(matrix.groups.map(({ name }) => name));
  const idsOf = ({ subject, about = [] }: Finding): string[] => {
    const sameAddress = subject === '' ? [] : (byAddress.get(subject) ?? []).map(({ id }) => id);
    const named = [subject, ...about, ...sameAddress].filter((id) => order.has(id));
    return [...new Set(named)].sort((a, b) => (order.get(a) ?? 0) - (order.get(b) ?? 0));
  };
  const own = new Map<string, number[]>();
  const byGroup = new Map<string, number[]>();
  const notes = new Map<string, number[]>();
  for (const { number, finding, follows } of jobList.jobs)
    for (const one of [finding, ...follows.map((followed) => followed.finding)])
      for (const id of idsOf(one)) add(groups.has(one.subject) ? byGroup : own, id, number);
  for (const { number, finding } of jobList.notes) for (const id of idsOf(finding)) add(notes, id, number);
  return {
    jobList,
    jobsOf: own,
    groupJobsOf: new Map(
      [...byGroup].map(([id, numbers]) => [
        id,
        numbers.filter((number) => !(own.get(id) ?? []).includes(number)),
      ]),
    ),
    notesOf: notes,
    jobsOfGroup: groupJobs(jobList),
    about: new Map(
      [...jobList.jobs, ...jobList.notes].map(({ number, finding }) => [number, idsOf(finding)]),
    ),
  };
}

/** Subject -> numbers of the jobs that it waits for: those about it, and those from which a finding about it follows. */
export function groupJobs({ jobs }: Pick<JobList, 'jobs'>): Numbers {
  const found = new Map<string, number[]>();
  const put = ({ number, finding, follows }: Job): void => {
    add(found, finding.subject, number);
    for (const one of follows)
      for (const cause of [number, ...one.also]) add(found, one.finding.subject, cause);
  };
  for (const job of jobs) put(job);
  return found;
}

function add(map: Map<string, number[]>, key: string, number: number): void {
  const known = map.get(key);
  if (known === undefined) map.set(key, [number]);
  else if (!known.includes(number)) known.push(number);
}
