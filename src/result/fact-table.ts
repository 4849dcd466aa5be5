/** The matrix as a table: endpoints down, one column a planned fact. A column in which nobody asked anything is a sentence instead. */
import type { EndpointResult, Matrix } from '../matrix/matrix.js';
import { groupBy } from '../text/group-by.js';
import type { Mark } from '../text/marks.js';
import { capital, count, ended, list } from '../text/sentence.js';
import { type ShownFact, shownFact } from './fact-cell.js';
import { factName } from './fact-names.js';
import { otherViews } from './other-views.js';
import { toldFacts } from './told-facts.js';

export interface FactColumn {
  readonly key: string;
  /** What stands in it: one kind of fact, or what hangs on the cable. */
  readonly of: ShownFact['kind'] | 'cable';
  readonly title: string;
}

export interface FactCell {
  readonly mark: Mark;
  readonly text: string;
  /** The words say no more than that it is as planned: beside the name of the service they can be left out. */
  readonly plain?: true | undefined;
}

export interface FactRow {
  readonly endpoint: EndpointResult;
  /** The vantage that its facts are from, where that is not the usual one. */
  readonly from: string;
  /** One for each column; undefined where nothing is planned and nothing was seen. */
  readonly cells: readonly (FactCell | undefined)[];
}

export interface FactTable {
  readonly columns: readonly FactColumn[];
  /** Columns that are no columns: what is planned and nobody could ask, one sentence each. */
  readonly unasked: readonly string[];
  /** The vantage that most facts are from. */
  readonly from: string;
  readonly rows: readonly FactRow[];
}

/** Classes of services that get a column of their own; the rarer ones share one. */
const SERVICE_COLUMNS = 5;
const OTHER_SERVICES: FactColumn = { key: 'service *', of: 'service', title: 'Other services' };
const FIXED: readonly FactColumn[] = [
  { key: 'address', of: 'address', title: 'On the link' },
  { key: 'echo', of: 'echo', title: 'Echo' },
  { key: 'box', of: 'box', title: 'Device' },
  { key: 'cable', of: 'cable', title: 'Link and cable' },
  { key: 'mtu', of: 'mtu', title: 'MTU' },
  { key: 'portals', of: 'portals', title: 'Portals' },
];
const IN_CABLE: ReadonlySet<ShownFact['kind']> = new Set(['link', 'light', 'speed', 'switch-port', 'vlan']);
const WORST: readonly Mark[] = ['missing', 'differs', 'unproven', 'matches', 'told'];

export function factTable({ endpoints }: Pick<Matrix, 'endpoints'>): FactTable {
  const everything = endpoints.map((endpoint) => factsOf(endpoint));
  const open = kindsNobodyTested(everything.flat());
  const facts = everything.map((own) => own.filter(({ kind }) => !open.has(kind)));
  const classes = serviceClasses(facts.flat());
  const keyOf = (fact: ShownFact): string => columnKey(fact, classes);
  const all = facts.flat();
  const byColumn = groupBy(all, keyOf);
  const services = [...classes.map(serviceColumn), OTHER_SERVICES];
  const [address, echo, ...rest] = FIXED;
  const order = [address, echo, ...services, ...rest].filter(
    (column) => column !== undefined && byColumn.has(column.key),
  ) as FactColumn[];
  const asked = order.filter(({ key }) => byColumn.get(key)?.some(({ mark }) => mark !== 'unproven'));
  const from = usual(all.map(({ vantage }) => vantage));
  return {
    columns: asked,
    unasked: unaskedSentences([
      ...order
        .filter((column) => !asked.includes(column))
        .map(({ key, title }) => ({ title, facts: byColumn.get(key) ?? [] })),
      ...[...open].map(([kind, own]) => ({ title: capital(factName({ fact: kind })), facts: own })),
    ]),
    from,
    rows: endpoints.map((endpoint, index) => row(endpoint, facts[index] ?? [], asked, from, keyOf)),
  };
}

/** Parts of a column that holds several: what nobody could test says so once instead of in every cell. */
function kindsNobodyTested(
  facts: readonly ShownFact[],
): ReadonlyMap<ShownFact['kind'], readonly ShownFact[]> {
  const byKind = groupBy(
    facts.filter(({ kind }) => IN_CABLE.has(kind)),
    ({ kind }) => kind,
  );
  return new Map([...byKind].filter(([, own]) => own.every(({ mark }) => mark === 'unproven')));
}

/** Facts of the result; where an older version wrote none, what was seen. */
export function factsOf(endpoint: EndpointResult): readonly ShownFact[] {
  return endpoint.facts.length > 0
    ? endpoint.facts.map((fact) => shownFact(fact, endpoint.sightings))
    : toldFacts(endpoint);
}

function row(
  endpoint: EndpointResult,
  facts: readonly ShownFact[],
  columns: readonly FactColumn[],
  usually: string,
  keyOf: (fact: ShownFact) => string,
): FactRow {
  const own = usual(facts.map(({ vantage }) => vantage));
  const from = own === '' ? usually : own;
  return {
    endpoint,
    from: from === usually ? '' : from,
    cells: columns.map(({ key }) => {
      const here = facts.filter((fact) => keyOf(fact) === key);
      return cell(here, from, otherViews(endpoint, here));
    }),
  };
}

/** The worst mark; what is not as planned first. What has the same words is said once. */
function cell(facts: readonly ShownFact[], usually: string, others: readonly string[]): FactCell | undefined {
  const sorted = [...facts].sort((a, b) => WORST.indexOf(a.mark) - WORST.indexOf(b.mark));
  const [worst] = sorted;
  if (worst === undefined) return undefined;
  const named = new Set(facts.map(({ service }) => service)).size > 1;
  const elsewhere = ({ vantage }: ShownFact): boolean => vantage !== '' && vantage !== usually;
  // One vantage for all that stands here is named once, at the end.
  const only = facts.length > 1 && new Set(facts.map(({ vantage }) => vantage)).size === 1;
  const words = sorted.map((fact) => {
    const from = elsewhere(fact) && !only ? ` from ${fact.vantage}` : '';
    return `${named ? `${fact.service} ` : ''}${fact.text}${from}`;
  });
  const together = only && elsewhere(worst) ? ` (from ${worst.vantage})` : '';
  const plain = facts.length === 1 && worst.plain === true && !elsewhere(worst) && others.length === 0;
  return {
    mark: worst.mark,
    text: [...new Set([`${[...new Set(words)].join(', ')}${together}`, ...others])].join(', '),
    ...(plain ? { plain } : {}),
  };
}

function columnKey({ kind, service }: ShownFact, classes: readonly string[]): string {
  if (IN_CABLE.has(kind)) return 'cable';
  if (kind !== 'service') return kind;
  const name = classOf(service);
  return classes.includes(name) ? serviceColumn(name).key : OTHER_SERVICES.key;
}

/** The commonest first in the order of the plan; bare ports share a class. */
function serviceClasses(facts: readonly ShownFact[]): readonly string[] {
  const amounts = new Map<string, number>();
  for (const { kind, service } of facts)
    if (kind === 'service') {
      const name = classOf(service);
      amounts.set(name, (amounts.get(name) ?? 0) + 1);
    }
  const names = [...amounts.keys()];
  if (names.length <= SERVICE_COLUMNS) return names;
  const kept = [...amounts]
    .sort(([, a], [, b]) => b - a)
    .slice(0, SERVICE_COLUMNS - 1)
    .map(([name]) => name);
  return names.filter((name) => kept.includes(name));
}

/** `https:8443` is of the class `https`. */
function classOf(service: string): string {
  return service.split(':')[0] ?? service;
}

function serviceColumn(name: string): FactColumn {
  return { key: `service ${name}`, of: 'service', title: name };
}

/** Columns that nobody could test for the same reason share a sentence. */
function unaskedSentences(
  columns: readonly { readonly title: string; readonly facts: readonly ShownFact[] }[],
): readonly string[] {
  const byReason = groupBy(columns, ({ facts }) => usual(facts.map((fact) => fact.reason)));
  return [...byReason].map(([reason, own]) => {
    const facts = own.flatMap((column) => column.facts);
    const alike = facts.every((fact) => fact.reason === reason);
    const why = reason === '' ? '' : alike ? `: ${reason}` : `; for example: ${reason}`;
    const titles = list(own.map(({ title }) => title));
    return ended(`${titles}: ${count(facts.length, 'fact')} planned, none could be tested${why}`);
  });
}

/** The commonest that says something. */
function usual(names: readonly string[]): string {
  const amounts = new Map<string, number>();
  for (const name of names) if (name !== '') amounts.set(name, (amounts.get(name) ?? 0) + 1);
  let best = '';
  for (const [name, amount] of amounts) if (amount > (amounts.get(best) ?? 0)) best = name;
  return best;
}
