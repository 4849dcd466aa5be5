import { type Finding, finding } from '../findings/index.js';
import { citing, groupBy, type PlanView, unique } from './plan-view.js';

/** Fibre Channel port names that two ports have. A virtual row is another name for a port that stands there already. */
export function wwpnDuplicates({ plan }: PlanView): Finding[] {
  const fixed = plan.endpoints.filter(({ virtual }) => !virtual);
  return [...groupBy(fixed, ({ wwpn }) => wwpn)].flatMap(([portName, holders]) => {
    if (holders.length < 2) return [];
    const sameDevice = unique(holders.map(({ device }) => device)).length === 1;
    return [
      finding(
        'wwpn-duplicate',
        portName,
        { portName, endpoints: holders.map(({ id }) => id), sameDevice },
        citing(holders, () => portName),
      ),
    ];
  });
}
