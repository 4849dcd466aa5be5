/** What of a pull test can be watched from here, known before anybody pulls. Pure. */
import type { GroupResult, Matrix } from '../matrix/matrix.js';
import type { Endpoint, Plan, PlannedService } from '../plan/model.js';
import { type DrillStep, losesTo } from './plan.js';
import type { Pull } from './pulls.js';

/** How an endpoint is asked during the pull test. */
export type Question =
  | { readonly endpoint: Endpoint; readonly address: string; readonly service: PlannedService }
  | { readonly endpoint: Endpoint; readonly address: string; readonly service?: undefined };

/** no-address: nothing to ask (Fibre Channel, power). no-route: this laptop has no way to it. no-answer: it answered nothing just now. */
export interface Unwatched {
  readonly endpoint: string;
  readonly why: 'no-address' | 'no-route' | 'no-answer';
}

export interface Sight {
  readonly questions: readonly Question[];
  readonly unwatched: readonly Unwatched[];
}

/** From what answered in a run just made: a planned service that took a connection, else echo. */
export function sightOf(matrix: Pick<Matrix, 'groups' | 'endpoints' | 'plan'>): Sight {
  const wanted = new Set(matrix.groups.flatMap(({ paths }) => paths.flatMap((path) => path.endpoints)));
  const questions: Question[] = [];
  const unwatched: Unwatched[] = [];
  for (const endpoint of matrix.plan.model.endpoints) {
    const { id, address } = endpoint;
    if (!wanted.has(id)) continue;
    const sighting = matrix.endpoints.find((one) => one.id === id)?.sightings[0];
    if (address === undefined) {
      unwatched.push({ endpoint: id, why: 'no-address' });
      continue;
    }
    const service = endpoint.services.find(
      (one) =>
        one.protocol === 'tcp' &&
        sighting?.tcp.some(({ port, outcome }) => port === one.port && outcome === 'accepted'),
    );
    if (service !== undefined) questions.push({ endpoint, address, service });
    else if (sighting?.icmp.outcome === 'replied') questions.push({ endpoint, address });
    else unwatched.push({ endpoint: id, why: sighting?.reach === 'no-route' ? 'no-route' : 'no-answer' });
  }
  return { questions, unwatched };
}

/** From the plan alone: what has an address can be watched from a place that reaches it. */
export function sightOfPlan({ endpoints }: Pick<Plan, 'endpoints'>, groups: readonly GroupResult[]): Sight {
  const wanted = new Set(groups.flatMap(({ paths }) => paths.flatMap((path) => path.endpoints)));
  const own = endpoints.filter(({ id }) => wanted.has(id));
  return {
    questions: own.flatMap((endpoint) =>
      endpoint.address === undefined ? [] : [{ endpoint, address: endpoint.address }],
    ),
    unwatched: own.flatMap(({ id, address }) =>
      address === undefined ? [{ endpoint: id, why: 'no-address' as const }] : [],
    ),
  };
}

/**
 * whole: it would be seen that the thing is gone, and that the group goes on. part: one of both. none: neither; a pull that nobody can see
 * proves nothing, and is no fault of a label.
 */
export type Visible = 'whole' | 'part' | 'none';

export function visibility(step: DrillStep, group: GroupResult, watched: ReadonlySet<string>): Visible {
  const gone = step.affected.length === 0 || step.affected.some((id) => watched.has(id));
  const left = watchedPaths(group, watched).filter((path) => !losesTo(path, step.pull));
  const goesOn = step.expect === 'lost' ? step.affected.length > 0 && gone : left.length >= group.need;
  if (step.affected.length === 0) return goesOn ? 'whole' : 'none';
  return gone && goesOn ? 'whole' : gone ? 'part' : 'none';
}

/** Paths that work and all of whose endpoints are watched. */
export function watchedPaths(group: GroupResult, watched: ReadonlySet<string>): GroupResult['paths'] {
  return group.paths.filter(
    ({ state, endpoints }) =>
      state === 'live' && endpoints.length > 0 && endpoints.every((id) => watched.has(id)),
  );
}

/** No group of the pull would show anything. */
export function isBlind(
  { steps }: Pull,
  groups: readonly GroupResult[],
  watched: ReadonlySet<string>,
): boolean {
  return steps.every((step) => {
    const group = groups.find(({ name }) => name === step.group);
    return group === undefined || visibility(step, group, watched) === 'none';
  });
}
