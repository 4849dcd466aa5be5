/** What of a run eyes can prove: all that the plan asks for, and what of it is still open, in the order of the visit. Pure. */

import { expectedOf, factsOfItem, itemOf, LIT } from '../eyes/eyes.js';
import { isAboutLight, isLightWord } from '../eyes/observations.js';
import { foldName } from '../eyes/text-agrees.js';
import { lightOf } from '../facts/no-address.js';
import type { EndpointResult, FactResult, Matrix } from '../matrix/matrix.js';
import { STEPS, type Step } from '../plan/model.js';

export interface ObservationItem {
  readonly subject: string;
  readonly item: string;
  /** What should be seen, in words to compare with. */
  readonly expect: string;
  /** The words are the plan's own, to be shown. */
  readonly stated: boolean;
  readonly when?: Step | undefined;
  /** What somebody wrote before, which could not be told. */
  readonly saw?: string | undefined;
}

/** Facts that a lamp or a label shows, and the step at which it does first. */
const BY_EYES: readonly (readonly [FactResult['fact'], Step])[] = [
  ['switch-port', 'cabled'],
  ['link', 'powered'],
  ['light', 'powered'],
  ['speed', 'powered'],
];

/** Nobody went there: to look at it all the same is another visit. */
const OUT_OF_SCOPE: ReadonlySet<string | undefined> = new Set(['out-of-scope', 'not-looked-at']);

export function openItems(matrix: Matrix): ObservationItem[] {
  const asked = matrix.observations.filter(({ verdict, extra }) => verdict === 'open' && extra !== true);
  const observed = asked.map(
    ({ subject, item, expect, when, saw }): ObservationItem => ({
      subject,
      item,
      expect,
      stated: true,
      when: stepOf(when) ?? (isLightWord(item) ? 'powered' : undefined),
      ...(saw === undefined ? {} : { saw }),
    }),
  );
  const lit = new Set(asked.filter(({ item }) => isLightWord(item)).map(({ subject }) => foldName(subject)));
  const open = new Set(
    matrix.findings.filter(({ code }) => code === 'observation-open').map(({ subject }) => subject),
  );
  const facts = matrix.endpoints.flatMap((endpoint) =>
    openFacts(endpoint, lit.has(foldName(endpoint.id)), open.has(endpoint.id)),
  );
  const order = ({ when }: ObservationItem): number =>
    when === undefined ? STEPS.length : STEPS.indexOf(when);
  // Sorting is stable: within a step the order of the plan stays.
  return [...observed, ...facts].sort((a, b) => order(a) - order(b));
}

/** `isAsked`: the plan asks for its light by itself. `isDark`: a finding says that nobody has looked at its light. */
function openFacts(endpoint: EndpointResult, isAsked: boolean, isDark: boolean): ObservationItem[] {
  const items = BY_EYES.flatMap(([kind, when]): ObservationItem[] => {
    const fact = endpoint.facts.find((one) => one.fact === kind);
    if (fact?.state !== 'unproven' || OUT_OF_SCOPE.has(fact.cause)) return [];
    const isLight = kind === 'link' || kind === 'light';
    if (isLight && isAsked) return [];
    const item = isLight ? lightOf(endpoint.role) : (itemOf(kind) ?? kind);
    return [{ subject: endpoint.id, item, expect: expectedOf(kind, fact.planned), stated: !isLight, when }];
  });
  const item = lightOf(endpoint.role);
  // A result from before the facts has the finding alone.
  return isDark && !isAsked && !items.some((look) => look.item === item)
    ? [{ subject: endpoint.id, item, expect: LIT, stated: false, when: 'powered' }, ...items]
    : items;
}

/** Everything that can be attested without saying that it is beyond the plan, by subject. */
export function plannedItems({ observations, endpoints, plan }: Matrix): ObservationItem[] {
  const observed = observations
    .filter(({ extra }) => extra !== true)
    .map(({ subject, item, expect }): ObservationItem => ({ subject, item, expect, stated: true }));
  const models = new Map(plan.model.endpoints.map((endpoint) => [endpoint.id, endpoint]));
  const facts = endpoints.flatMap(({ id, role, address, facts: told }): ObservationItem[] => {
    const model = models.get(id);
    const kinds = new Map(told.map(({ fact, planned }) => [fact, planned]));
    // A result from before the facts: what its plan states.
    if (model?.switch !== undefined && !kinds.has('switch-port'))
      kinds.set('switch-port', [model.switch, model.switchPort ?? ''].join(' ').trim());
    if (address === '' && !kinds.has('light') && !kinds.has('link')) kinds.set('light', LIT);
    return [...kinds].flatMap(([fact, planned]): ObservationItem[] => {
      const item = fact === 'light' || fact === 'link' ? lightOf(role) : itemOf(fact);
      return item === undefined
        ? []
        : [
            {
              subject: id,
              item,
              expect: expectedOf(fact, planned),
              stated: fact !== 'light' && fact !== 'link',
            },
          ];
    });
  });
  return [...observed, ...facts];
}

/** The planned look that a subject and an item mean: by name, else by another name of the same fact or light. */
export function itemFor(matrix: Matrix, subject: string, item: string): ObservationItem | undefined {
  const there = plannedItems(matrix).filter((look) => foldName(look.subject) === foldName(subject));
  const kinds = factsOfItem(item);
  const named =
    there.find((look) => foldName(look.item) === foldName(item)) ??
    there.find((look) => factsOfItem(look.item).some((kind) => kinds.includes(kind)));
  if (named !== undefined) return named;
  // The light of a port without an address, under any name for it, at the port or at its device.
  const isLit = matrix.plan.model.endpoints.some(
    (endpoint) => (endpoint.address ?? '') === '' && isAboutLight(endpoint, subject, item),
  );
  return isLit ? { subject, item, expect: LIT, stated: false } : undefined;
}

function stepOf(text: string | undefined): Step | undefined {
  return STEPS.find((step) => step === text);
}
