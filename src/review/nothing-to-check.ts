import { type Finding, finding } from '../findings/index.js';
import { citing, groupBy, type PlanView } from './plan-view.js';

/** Addresses that nothing but an echo can be asked of. */
export function nothingToCheck(view: PlanView): Finding[] {
  const bare = view.addressed.filter((endpoint) => endpoint.services.length === 0);
  return [...groupBy(bare, (endpoint) => endpoint.device)].map(([device, endpoints]) =>
    finding(
      'nothing-to-check',
      device,
      { device, endpoints: endpoints.map((endpoint) => endpoint.id) },
      citing(endpoints),
    ),
  );
}
