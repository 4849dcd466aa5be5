/** A switch behind which everything is silent: one fault, and what is missing behind it follows from it. */
import { type Finding, finding } from '../findings/index.js';
import type { EndpointVerdict } from '../matrix/matrix.js';
import type { Endpoint, Plan } from '../plan/model.js';

/** With fewer endpoints than this, the cable is as likely as the switch (common practice, no source). */
const TELLING = 3;

/** Switch -> endpoints that are missing with it. */
function silentSwitches(
  plan: Plan,
  verdictOf: (id: string) => EndpointVerdict | undefined,
): Map<string, readonly Endpoint[]> {
  const bySwitch = new Map<string, Endpoint[]>();
  for (const endpoint of plan.endpoints)
    if (endpoint.switch !== undefined && endpoint.address !== undefined)
      bySwitch.set(endpoint.switch, [...(bySwitch.get(endpoint.switch) ?? []), endpoint]);
  const seenThere = new Map(
    [...bySwitch].map(([name, endpoints]) => [
      name,
      endpoints.filter(({ id }) => verdictOf(id) !== 'unproven' && verdictOf(id) !== undefined),
    ]),
  );
  return new Map(
    [...seenThere].filter(
      ([, endpoints]) =>
        endpoints.length >= TELLING && endpoints.every(({ id }) => verdictOf(id) === 'missing'),
    ),
  );
}

export function judgeSwitches(plan: Plan, verdictOf: (id: string) => EndpointVerdict | undefined): Finding[] {
  return [...silentSwitches(plan, verdictOf)].map(([name, endpoints]) => {
    const own = plan.endpoints.filter(({ device, address }) => device === name && address !== undefined);
    const itself = own.length > 0 && own.every(({ id }) => verdictOf(id) === 'missing');
    const about = [...endpoints.map(({ id }) => id), ...(itself ? own.map(({ id }) => id) : [])];
    return finding(
      'switch-silent',
      name,
      { switch: name, endpoints: endpoints.map(({ id }) => id), itself },
      { about, evidence: [`missing: ${endpoints.map(({ id }) => id).join(', ')}`] },
    );
  });
}
