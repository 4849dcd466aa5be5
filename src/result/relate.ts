/** Which finding speaks about which endpoint, and so against which of its cells. Shared by the page and CSV. */

import type { EndpointResult, Matrix } from '../matrix/matrix.js';
import type { Device, PlannedIdentity } from '../plan/model.js';
import { causesOf } from './causes.js';
import { type CellContext, columnOf, type ProbeColumn } from './cells.js';
import { type NumberedFinding, numberFindings } from './numbered.js';

export interface Relations {
  readonly findings: readonly NumberedFinding[];
  /** Endpoint id -> findings about it, most urgent first. */
  readonly speakingOf: ReadonlyMap<string, readonly NumberedFinding[]>;
  /** Finding number -> endpoint ids it is about, in matrix order. */
  readonly about: ReadonlyMap<number, readonly string[]>;
  /** Number of a consequence -> numbers of what it follows from. */
  readonly causes: ReadonlyMap<number, readonly number[]>;
  contextOf(endpoint: EndpointResult): CellContext;
}

export function relateFindings(matrix: Matrix): Relations {
  const order = new Map(matrix.endpoints.map(({ id }, index) => [id, index]));
  const byAddress = groupBy(matrix.endpoints, ({ address }) => address);
  const planned = new Map(matrix.plan.model.endpoints.map((endpoint) => [endpoint.id, endpoint]));
  const devices = new Map(matrix.plan.model.devices.map((device) => [device.name, device]));
  const findings = numberFindings(matrix.findings);
  const speakingOf = new Map<string, NumberedFinding[]>();
  const about = new Map<number, readonly string[]>();
  for (const numbered of findings) {
    const { subject, about: others = [] } = numbered.finding;
    const sameAddress = subject === '' ? [] : (byAddress.get(subject) ?? []).map(({ id }) => id);
    const named = [subject, ...others, ...sameAddress].filter((id) => order.has(id));
    const ids = [...new Set(named)].sort((a, b) => (order.get(a) ?? 0) - (order.get(b) ?? 0));
    about.set(numbered.number, ids);
    for (const id of ids) {
      const known = speakingOf.get(id);
      if (known) known.push(numbered);
      else speakingOf.set(id, [numbered]);
    }
  }
  return {
    findings,
    speakingOf,
    about,
    causes: causesOf(findings, onAnotherSwitch(matrix)),
    contextOf: ({ id, device, controller }) => {
      const endpoint = planned.get(id);
      const identity = identityOf(devices.get(device), endpoint?.virtual === true ? '' : controller);
      return {
        planned: endpoint,
        identityPlanned: identity.length > 0,
        identity,
        against: columnsAgainst(speakingOf.get(id) ?? []),
      };
    },
  };
}

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

function columnsAgainst(speaking: readonly NumberedFinding[]): ReadonlySet<ProbeColumn> {
  const columns = new Set<ProbeColumn>();
  for (const { finding } of speaking) {
    const column = finding.severity === 'note' ? undefined : columnOf(finding.code);
    if (column !== undefined) columns.add(column);
  }
  return columns;
}

/** What the plan states of the box behind an endpoint; empty where it states nothing. */
function identityOf(device: Device | undefined, controller: string): PlannedIdentity[] {
  return [device?.identity, device?.controllers[controller]].filter(
    (one) =>
      one !== undefined && Object.values(one).some((pattern) => pattern !== undefined && pattern !== ''),
  ) as PlannedIdentity[];
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
