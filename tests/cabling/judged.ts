/** The facts about link and cable of a plan and its evidence, with the views of them that tests ask about. */
import { viewOf } from '../../src/evidence/view.js';
import { type EndpointCabling, judgeCables } from '../../src/facts/cabling.js';
import { differencesOf } from '../../src/facts/differences.js';
import type { Plan } from '../../src/plan/model.js';
import type { Evidence } from '../../src/sighting/types.js';

export function judgeCabling(plan: Plan, evidence: readonly Evidence[]) {
  const { perEndpoint, findings } = judgeCables(viewOf(plan, evidence));
  return {
    perEndpoint: new Map([...perEndpoint].map(([id, one]) => [id, viewed(one)] as const)),
    findings,
  };
}

function viewed(one: EndpointCabling) {
  const stateOf = (kind: string) => one.facts.find(({ fact }) => fact === kind)?.state;
  return {
    ...one,
    differences: differencesOf(one.facts),
    findings: one.facts.flatMap(({ findings }) => findings),
    reasons: one.facts.map(({ reason }) => reason),
    /** `link matches, speed unproven no-credential`. */
    said: one.facts
      .map(({ fact, state, cause }) => [fact, state, ...(cause === undefined ? [] : [cause])].join(' '))
      .join(', '),
    linkState: stateOf('link'),
  };
}
