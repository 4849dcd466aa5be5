import { type Finding, finding } from '../findings/index.js';
import type { Endpoint } from '../plan/model.js';
import { citing, deviceAndController, groupBy, isVirtual, type PlanView } from './plan-view.js';

/** Two cables on one port of a switch. */
export function switchPortDuplicates(view: PlanView): Finding[] {
  const physical = view.plan.endpoints.filter((endpoint) => !isVirtual(endpoint));
  const byPort = groupBy(physical, ({ switch: name, switchPort }) =>
    name === undefined || switchPort === undefined ? undefined : `${fold(name)}\n${fold(switchPort)}`,
  );
  return [...byPort.values()].flatMap((ends) => {
    const cables = ends.filter((end, index) => !ends.slice(0, index).some((before) => samePort(before, end)));
    const [first] = cables;
    if (cables.length < 2 || first?.switch === undefined || first.switchPort === undefined) return [];
    return [
      finding(
        'switch-port-duplicate',
        `${first.switch} ${first.switchPort}`,
        { switch: first.switch, port: first.switchPort, endpoints: ends.map((end) => end.id) },
        citing(ends, (end) => `on ${end.switch} ${end.switchPort}`),
      ),
    ];
  });
}

function fold(text: string): string {
  return text.trim().toLowerCase().replace(/\s+/g, ' ');
}

/** Two rows of one plug: the same MAC or interface of one device, or a port and its sub-interface (`data0`, `data0.20`). */
function samePort(a: Endpoint, b: Endpoint): boolean {
  if (deviceAndController(a) !== deviceAndController(b)) return false;
  if (a.mac !== undefined && b.mac !== undefined) return a.mac === b.mac;
  if (a.interface !== undefined && b.interface !== undefined) return fold(a.interface) === fold(b.interface);
  return plug(a.port) === plug(b.port);
}

function plug(port: string): string {
  return fold(port).replace(/[.:](vlan)?\d+$/, '');
}
