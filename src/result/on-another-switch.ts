import type { Matrix } from '../matrix/matrix.js';

/** Endpoints that a forwarding table or LLDP shows on a switch that the plan has not for them. */
export function onAnotherSwitch({
  endpoints,
  plan,
}: Pick<Matrix, 'endpoints' | 'plan'>): ReadonlySet<string> {
  const planned = new Map(plan.model.endpoints.map((endpoint) => [endpoint.id, endpoint.switch]));
  const moved = endpoints.filter(({ id, sightings }) =>
    sightings.some(
      ({ cabling }) =>
        cabling !== undefined && planned.get(id) !== undefined && cabling.switch !== planned.get(id),
    ),
  );
  return new Set(moved.map(({ id }) => id));
}
