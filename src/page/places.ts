/** Where everything stands on the page: short anchors, and which findings speak about which endpoint. */
import type { Device, Endpoint } from '../plan/model.js';
import { columnOf, type ProbeColumn } from '../result/cells.js';
import type { EndpointResult, Matrix } from '../result/matrix.js';
import { type NumberedFinding, numberFindings } from '../result/numbered.js';

export interface Places {
  /** Endpoint id -> n of the anchors `e{n}` (row), `v{n}` (evidence). */
  readonly endpoints: ReadonlyMap<string, number>;
  /** Device name -> n of `d{n}`. */
  readonly devices: ReadonlyMap<string, number>;
  /** Group name -> n of `g{n}`. */
  readonly groups: ReadonlyMap<string, number>;
  readonly planned: ReadonlyMap<string, Endpoint>;
  /** Devices that the plan says how to recognise. */
  readonly identityPlanned: ReadonlySet<string>;
  readonly findings: readonly NumberedFinding[];
  /** Endpoint id -> findings about it, most urgent first. */
  readonly speakingOf: ReadonlyMap<string, readonly NumberedFinding[]>;
  /** Finding number -> endpoint ids it is about, in matrix order. */
  readonly about: ReadonlyMap<number, readonly string[]>;
}

export function placesOf(matrix: Matrix): Places {
  const endpoints = new Map(matrix.endpoints.map(({ id }, index) => [id, index + 1]));
  const devices = new Map(
    [...new Set(matrix.endpoints.map(({ device }) => device))].map((name, index) => [name, index + 1]),
  );
  const byAddress = groupBy(matrix.endpoints, ({ address }) => address);
  const findings = numberFindings(matrix.findings);
  const speakingOf = new Map<string, NumberedFinding[]>();
  const about = new Map<number, readonly string[]>();
  for (const numbered of findings) {
    const { subject, about: others = [] } = numbered.finding;
    const sameAddress = subject === '' ? [] : (byAddress.get(subject) ?? []).map(({ id }) => id);
    const named = [subject, ...others, ...sameAddress].filter((id) => endpoints.has(id));
    const ids = [...new Set(named)].sort((a, b) => (endpoints.get(a) ?? 0) - (endpoints.get(b) ?? 0));
    about.set(numbered.number, ids);
    for (const id of ids) {
      const known = speakingOf.get(id);
      if (known) known.push(numbered);
      else speakingOf.set(id, [numbered]);
    }
  }
  return {
    endpoints,
    devices,
    groups: new Map(matrix.groups.map(({ name }, index) => [name, index + 1])),
    planned: new Map(matrix.plan.model.endpoints.map((endpoint) => [endpoint.id, endpoint])),
    identityPlanned: new Set(matrix.plan.model.devices.filter(hasIdentity).map(({ name }) => name)),
    findings,
    speakingOf,
    about,
  };
}

/** The columns that findings above `note` speak against, for one endpoint. */
export function columnsAgainst(places: Places, endpoint: EndpointResult): ReadonlySet<ProbeColumn> {
  const columns = new Set<ProbeColumn>();
  for (const { finding } of places.speakingOf.get(endpoint.id) ?? []) {
    const column = finding.severity === 'note' ? undefined : columnOf(finding.code);
    if (column !== undefined) columns.add(column);
  }
  return columns;
}

export function groupBy<Item, Key>(items: readonly Item[], key: (item: Item) => Key): Map<Key, Item[]> {
  const groups = new Map<Key, Item[]>();
  for (const item of items) {
    const name = key(item);
    const known = groups.get(name);
    if (known) known.push(item);
    else groups.set(name, [item]);
  }
  return groups;
}

/** A link whose text names its target, so that it still points somewhere on paper. */
export function endpointLink(places: Places, id: string, label: string): string {
  const number = places.endpoints.get(id);
  return number === undefined ? label : `<a href="#e${number}">${label}</a>`;
}

function hasIdentity({ identity, controllers }: Device): boolean {
  return [identity, ...Object.values(controllers)].some((known) =>
    Object.values(known).some((pattern) => pattern !== undefined && pattern !== ''),
  );
}
