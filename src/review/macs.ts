import { type Finding, finding } from '../findings/index.js';
import { isGroupMac } from '../plan/mac.js';
import { citing, deviceAndController, groupBy, isVirtual, type PlanView, unique } from './plan-view.js';

const ZERO = '00:00:00:00:00:00';

/** MACs that no port can have, and MACs that two devices have. */
export function macFindings(view: PlanView): Finding[] {
  return [...impossible(view), ...duplicates(view)];
}

function impossible(view: PlanView): Finding[] {
  return view.plan.endpoints.flatMap((endpoint) => {
    const { id, mac } = endpoint;
    if (mac === undefined || (mac !== ZERO && !isGroupMac(mac))) return [];
    const kind = mac === ZERO ? 'zero' : 'group';
    return [
      finding(
        'mac-invalid',
        id,
        { endpoint: id, mac, kind },
        citing([endpoint], () => mac),
      ),
    ];
  });
}

function duplicates(view: PlanView): Finding[] {
  const fixed = view.plan.endpoints.filter((endpoint) => !isVirtual(endpoint));
  const byMac = groupBy(fixed, ({ mac }) =>
    mac === undefined || mac === ZERO || isGroupMac(mac) ? undefined : mac,
  );
  return [...byMac].flatMap(([mac, holders]) => {
    const sameBox = unique(holders.map(deviceAndController)).length === 1;
    const cables = unique(
      holders.flatMap((e) => (e.switchPort === undefined ? [] : [`${e.switch} ${e.switchPort}`])),
    );
    // One device may use a MAC on several rows: two addresses of one port. Two cables are worth a word.
    if (holders.length < 2 || (sameBox && cables.length < 2)) return [];
    return [
      finding(
        'mac-duplicate',
        mac,
        { mac, endpoints: holders.map((endpoint) => endpoint.id), sameBox },
        { ...citing(holders, () => mac), ...(sameBox ? { severity: 'note' as const } : {}) },
      ),
    ];
  });
}
