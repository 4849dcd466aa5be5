/** What one run asks: every address once, with everything that the plan wants to know of it. Pure. */
import type { Device, Endpoint, Network, Plan, PlannedService } from '../plan/model.js';
import { indexOf } from '../plan/plan-index.js';
import { isSnmpService } from '../plan/services.js';

export interface Question {
  readonly address: string;
  /** Why it is asked; the strongest reason where there are several. */
  readonly kind: 'planned' | 'gateway' | 'default' | 'swept';
  /** Pacing key: questions to one device share its ceiling. */
  readonly device: string;
  readonly endpoints: readonly Endpoint[];
  readonly services: readonly PlannedService[];
  /** Name of a credential of the plan. */
  readonly snmp?: string | undefined;
  /** IP MTU to prove, where the plan asks for one. */
  readonly mtu?: number | undefined;
  /** The planned network that holds the address. */
  readonly network?: Network | undefined;
}

export interface QuestionScope {
  readonly only?: readonly string[] | undefined;
  /** Addresses of whole networks to ask beside the plan's own (survey --networks). */
  readonly sweep?: readonly string[] | undefined;
}

/** Services asked of an address that nobody planned, to learn which device it is. All read the first line or page only. */
const IDENTIFYING: readonly PlannedService[] = [
  { name: 'https', protocol: 'tcp', port: 443 },
  { name: 'http', protocol: 'tcp', port: 80 },
  { name: 'ssh', protocol: 'tcp', port: 22 },
];

export function questionsFor(plan: Plan, scope: QuestionScope = {}): Question[] {
  const inScope = (device: string): boolean => scope.only === undefined || scope.only.includes(device);
  const devices = new Map(plan.devices.map((device) => [device.name, device]));
  const questions = new Map<string, Question>();

  for (const endpoint of plan.endpoints) {
    if (endpoint.address === undefined || !inScope(endpoint.device)) continue;
    const network = indexOf(plan).networkOf(endpoint);
    const known = questions.get(endpoint.address);
    const services = [...(known?.services ?? [])];
    for (const service of endpoint.services) {
      if (!services.some((other) => other.name === service.name && other.port === service.port))
        services.push(service);
    }
    const snmp = known?.snmp ?? credentialOf(endpoint, devices.get(endpoint.device));
    const mtu = known?.mtu ?? endpoint.mtu ?? network?.mtu;
    questions.set(endpoint.address, {
      address: endpoint.address,
      kind: 'planned',
      device: known?.device ?? endpoint.device,
      endpoints: [...(known?.endpoints ?? []), endpoint],
      services,
      ...(snmp === undefined ? {} : { snmp }),
      ...(mtu === undefined ? {} : { mtu }),
      ...(network === undefined ? {} : { network }),
    });
  }
  for (const { address, device } of indexOf(plan).defaults) {
    if (questions.has(address) || !inScope(device)) continue;
    questions.set(address, stray(plan, address, 'default', device));
  }
  for (const { name, gateway } of gatewayNetworks(plan, questions.values(), scope)) {
    if (questions.has(gateway)) continue;
    questions.set(gateway, { ...stray(plan, gateway, 'gateway', `gateway of ${name}`), services: [] });
  }
  for (const address of scope.sweep ?? []) {
    if (!questions.has(address)) questions.set(address, stray(plan, address, 'swept', address));
  }
  return [...questions.values()];
}

/** Networks with a gateway, those alone that hold something to ask where the scope is narrower than the plan. */
function gatewayNetworks(
  plan: Plan,
  questions: Iterable<Question>,
  { only }: QuestionScope,
): { readonly name: string; readonly gateway: string }[] {
  const inUse = new Set([...questions].map(({ network }) => network?.name));
  return plan.networks.flatMap(({ name, gateway }) =>
    gateway === undefined || (only !== undefined && !inUse.has(name)) ? [] : [{ name, gateway }],
  );
}

function stray(plan: Plan, address: string, kind: 'gateway' | 'default' | 'swept', device: string): Question {
  const network = indexOf(plan).networkAt(address);
  return {
    address,
    kind,
    device,
    endpoints: [],
    services: IDENTIFYING,
    ...(network === undefined ? {} : { network }),
  };
}

function credentialOf(endpoint: Endpoint, device: Device | undefined): string | undefined {
  if (endpoint.snmp !== undefined) return endpoint.snmp;
  // A device's credential is for its agents: those on management ports and on ports that plan the service.
  const hasAgent =
    endpoint.role === 'management' || endpoint.role === 'switch' || endpoint.services.some(isSnmpService);
  return hasAgent ? device?.snmp : undefined;
}
