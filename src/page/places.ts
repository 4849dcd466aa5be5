/** Where everything stands on the page: short anchors, and the jobs that link to them. */
import type { Matrix } from '../matrix/matrix.js';
import type { Endpoint } from '../plan/model.js';
import { type Relations, relateFindings } from '../result/relate.js';

export interface Places extends Relations {
  /** Endpoint id -> n of the anchors `e{n}` (row), `v{n}` (evidence). */
  readonly endpoints: ReadonlyMap<string, number>;
  /** Device name -> n of `d{n}`. */
  readonly devices: ReadonlyMap<string, number>;
  /** Group name -> n of `g{n}`. */
  readonly groups: ReadonlyMap<string, number>;
  readonly planned: ReadonlyMap<string, Endpoint>;
  /** Minutes that the place looked from is ahead of UTC. */
  readonly zoneMinutes: number;
}

export function placesOf(matrix: Matrix): Places {
  return {
    ...relateFindings(matrix),
    endpoints: numbered(matrix.endpoints.map(({ id }) => id)),
    devices: numbered(matrix.endpoints.map(({ device }) => device)),
    groups: numbered(matrix.groups.map(({ name }) => name)),
    planned: new Map(matrix.plan.model.endpoints.map((endpoint) => [endpoint.id, endpoint])),
    zoneMinutes: matrix.evidence[0]?.vantage.zoneMinutes ?? 0,
  };
}

function numbered(names: readonly string[]): ReadonlyMap<string, number> {
  return new Map([...new Set(names)].map((name, index) => [name, index + 1]));
}

/** A link whose text names its target, so that it still points somewhere on paper. */
export function endpointLink(places: Places, id: string, label: string): string {
  const number = places.endpoints.get(id);
  return number === undefined ? label : `<a href="#e${number}">${label}</a>`;
}

/** `job 3`, `jobs 3, 5`; empty for none. */
export function jobLinks(numbers: readonly number[], limit = 4): string {
  return numbers.length === 0 ? '' : `${numbers.length === 1 ? 'job' : 'jobs'} ${jobNumbers(numbers, limit)}`;
}

/** `3, 5` below a head that says what they are. */
export function jobNumbers(numbers: readonly number[], limit: number): string {
  const shown = numbers.slice(0, limit).map((number) => `<a href="#f${number}">${number}</a>`);
  const more = numbers.length > limit ? ' …' : '';
  return `${shown.join(', ')}${more}`;
}
