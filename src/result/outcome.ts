/** The one sentence that everybody reads first, redundancy included. The same words on the page and in the terminal. */
import type { GroupResult, Matrix, OutcomeResult } from '../matrix/matrix.js';
import { capital, count, list, plural } from '../text/sentence.js';
import { type DrillProgress, unfinishedDrill } from './drill-progress.js';
import { isAsPlanned } from './group-words.js';
import { jobListOf } from './jobs.js';
import { onAnotherSwitch } from './on-another-switch.js';

const DEVICES_NAMED = 4;

/** A result without its outcome -> its outcome. Results of older versions have none: this makes it. */
export function outcomeOf(matrix: Omit<Matrix, 'outcome'>): OutcomeResult {
  const { jobs } = jobListOf(matrix.findings, onAnotherSwitch(matrix));
  const stop = jobs.filter(({ finding }) => finding.severity === 'stop').length;
  const drill = unfinishedDrill(matrix.evidence);
  const state = matrix.findings.some(({ severity }) => severity === 'stop')
    ? 'stop'
    : matrix.findings.some(({ severity }) => severity === 'fix')
      ? 'fix'
      : isOpen(matrix, drill)
        ? 'open'
        : 'ready';
  const clauses = [headline(state, matrix, stop, jobs.length - stop), redundancyClause(matrix.groups)];
  return {
    state,
    headline: `${capital(clauses.filter((clause) => clause !== '').join('; '))}.${drillSentence(drill)}`,
    jobs: jobs.length,
  };
}

/** No endpoint could be tested: no verdict but unproven, no fact settled, nobody answered anything. */
export function nothingTested({ endpoints }: Pick<Matrix, 'endpoints'>): boolean {
  return (
    endpoints.length > 0 &&
    endpoints.every(
      ({ verdict, facts, sightings }) =>
        verdict === 'unproven' &&
        facts.every(({ state }) => state === 'unproven') &&
        sightings.every(
          ({ presence, icmp, tcp }) =>
            presence.outcome !== 'claimed' &&
            icmp.outcome !== 'replied' &&
            tcp.every(({ outcome }) => outcome !== 'accepted' && outcome !== 'refused'),
        ),
    )
  );
}

/** Anything that a handover waits for beside findings. */
function isOpen(matrix: Omit<Matrix, 'outcome'>, drill: DrillProgress | undefined): boolean {
  const { endpoints, groups, observations, run } = matrix;
  return (
    endpoints.length === 0 ||
    // An endpoint without facts is of a result of an older version, which did not say what it had not measured.
    endpoints.some(
      ({ verdict, facts }) => verdict === 'unproven' || facts.length === 0 || openFacts(facts) > 0,
    ) ||
    groups.some((group) => !isAsPlanned(group)) ||
    observations.some(({ verdict }) => verdict === 'open') ||
    !run.complete ||
    run.only !== undefined ||
    run.stage === 'power-on' ||
    drill !== undefined
  );
}

function headline(
  state: OutcomeResult['state'],
  matrix: Omit<Matrix, 'outcome'>,
  stop: number,
  fix: number,
): string {
  const untested = nothingTested(matrix) ? untestedClause(matrix) : '';
  const beside = untested === '' ? '' : `; ${untested}`;
  switch (state) {
    case 'stop': {
      const then = fix === 0 ? '' : `, then ${count(fix, 'job')} to fix before handover`;
      return `stop: make ${count(stop, 'thing')} safe before you go on${then}${beside}`;
    }
    case 'fix':
      return `not ready to hand over: ${count(fix, 'job')} to fix${beside}`;
    case 'open':
      return untested === '' ? openClause(matrix) : untested;
    case 'ready':
      return 'ready to hand over: everything in the plan is proven';
  }
}

function untestedClause({ endpoints }: Pick<Matrix, 'endpoints'>): string {
  const amount = endpoints.length;
  const whom = amount === 1 ? 'the one endpoint cannot' : `none of ${amount} endpoints can`;
  return `nothing was tested: ${whom} be reached from here`;
}

/** Nothing is wrong; what is not proven yet, in a few words. */
function openClause({ run, endpoints, observations }: Omit<Matrix, 'outcome'>): string {
  if (endpoints.length === 0) return 'nothing was tested: the plan names no endpoint';
  const facts = endpoints.reduce((sum, each) => sum + openFacts(each.facts), 0);
  const untold = endpoints.filter(({ verdict }) => verdict === 'unproven').length;
  const looks = observations.filter(({ verdict }) => verdict === 'open').length;
  const parts = [
    ...(facts > 0 ? [count(facts, 'planned fact')] : untold > 0 ? [count(untold, 'endpoint')] : []),
    ...(looks > 0 ? [count(looks, 'observation')] : []),
  ];
  const amount = facts + (facts > 0 ? 0 : untold) + looks;
  const rest = parts.length === 0 ? '' : `, but ${list(parts)} ${plural(amount, 'is', 'are')} not proven`;
  if (!run.complete) return `the run was cut short: nothing found wrong so far${rest}`;
  if (run.only !== undefined)
    return `nothing found wrong on ${list(run.only, DEVICES_NAMED)}, and nothing else was looked at${rest}`;
  if (run.stage === 'power-on')
    return `power-on: nothing found wrong${rest}; check again when the devices are configured`;
  return rest === '' ? 'nothing found wrong, but not everything is proven' : `nothing found wrong${rest}`;
}

function openFacts(facts: Matrix['endpoints'][number]['facts']): number {
  return facts.filter(({ state }) => state === 'unproven').length;
}

/** `3 of 7 groups would not survive one failure, 1 has no way through`; empty where the plan has no group. */
function redundancyClause(groups: readonly GroupResult[]): string {
  if (groups.length === 0) return '';
  const amount = (verdict: GroupResult['verdict']): number =>
    groups.filter((group) => group.verdict === verdict).length;
  const all = count(groups.length, 'group');
  if (amount('redundant') === groups.length)
    return groups.length === 1 ? 'the group is redundant' : `all ${all} are redundant`;
  const told = [
    { of: amount('lost'), one: 'has no working path', many: 'have no working path' },
    { of: amount('at-risk'), one: 'would not survive one failure', many: 'would not survive one failure' },
    { of: amount('unproven'), one: 'is not proven', many: 'are not proven' },
  ].filter(({ of }) => of > 0);
  const parts = told.map(({ of, one, many }, index) =>
    index > 0 ? `${of} ${of === 1 ? one : many}` : `${of} of ${all} ${of === 1 ? one : many}`,
  );
  return list(parts);
}

function drillSentence(drill: DrillProgress | undefined): string {
  return drill === undefined
    ? ''
    : ` The pull test is not finished: ${drill.done} of ${count(drill.of, 'step')} done.`;
}
