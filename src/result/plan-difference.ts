/** In what two plans differ, in few words: for somebody who took an old copy of one along. Pure. */
import type { PlanModel } from '../matrix/schema.js';
import { cleanText } from '../text/clean.js';

/** Fields of an endpoint that decide what is asked and how it is judged. */
const FIELDS = [
  'address',
  'mac',
  'role',
  'network',
  'switch',
  'switchPort',
  'speedMbps',
  'mtu',
  'group',
  'defaultAddress',
  'wwpn',
  'snmp',
] as const;

/** `vault-1/A/mgmt: address 192.0.2.11, then 192.0.2.12`: first what `before` says, then what `after` says. */
export function planDifferences(before: PlanModel, after: PlanModel): string[] {
  const known = new Map(before.endpoints.map((endpoint) => [endpoint.id, endpoint]));
  const now = new Set(after.endpoints.map(({ id }) => id));
  const gone = before.endpoints
    .filter(({ id }) => !now.has(id))
    .map(({ id }) => `${id} is in the first alone`);
  const changed = after.endpoints.flatMap((endpoint) => {
    const was = known.get(endpoint.id);
    if (was === undefined) return [`${endpoint.id} is in the second alone`];
    const fields = FIELDS.flatMap((field) =>
      (was[field] ?? '') === (endpoint[field] ?? '')
        ? []
        : [`${endpoint.id}: ${field} ${was[field] ?? 'none'}, then ${endpoint[field] ?? 'none'}`],
    );
    return JSON.stringify(was.services) === JSON.stringify(endpoint.services)
      ? fields
      : [...fields, `${endpoint.id}: other services`];
  });
  const rest = [
    ...named('network', before.networks, after.networks, ({ name }) => name),
    ...named('device', before.devices, after.devices, ({ name }) => name),
    ...named('group', before.groups, after.groups, ({ name }) => name),
    ...named('observation', before.observe, after.observe, ({ subject, item }) => `${subject}, ${item}`),
  ];
  return [...gone, ...changed, ...rest].map((text) => cleanText(text, 160));
}

/** Where a value stands in its file plays no part. */
function named<T extends { readonly at?: unknown }>(
  kind: string,
  before: readonly T[],
  after: readonly T[],
  nameOf: (one: T) => string,
): string[] {
  const text = ({ at: _at, ...one }: T): string => JSON.stringify(one);
  const known = new Map(before.map((one) => [nameOf(one), text(one)]));
  const now = new Map(after.map((one) => [nameOf(one), text(one)]));
  return [...new Set([...known.keys(), ...now.keys()])]
    .filter((name) => known.get(name) !== now.get(name))
    .map((name) => {
      if (!now.has(name)) return `${kind} ${name} is in the first alone`;
      return known.has(name) ? `${kind} ${name} is another` : `${kind} ${name} is in the second alone`;
    });
}
