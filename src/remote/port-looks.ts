/**
 * A host with several ports in one network asks by one of them, and the others stay unknown: so each is looked from by itself, bound to it
 * (echo, path MTU, ARP). Linux alone: elsewhere ping has no such option for a port.
 */
import { cidrContains, hostOf } from '../plan/address.js';
import type { Network, Plan } from '../plan/model.js';
import { observe } from '../run/observe.js';
import type { PaceLimits } from '../run/pace.js';
import type { Evidence, Vantage, VantageInterface } from '../sighting/types.js';
import type { Programs } from '../system/program-types.js';
import { shellDeps } from './shell-deps.js';

export interface PortLook {
  readonly port: string;
  readonly evidence: Evidence;
}

/** The plan's name of a place, with the port that it was looked from by. */
export function portName(vantage: string, port: string): string {
  return `${vantage} (${port})`;
}

/** Ports that share a network of the plan with another port of that place, each with those networks. */
export function portsThatShare(
  { interfaces }: Vantage,
  networks: readonly Network[],
): { readonly port: VantageInterface; readonly networks: readonly Network[] }[] {
  const inside = ({ addresses }: VantageInterface, { cidr }: Network): boolean =>
    cidr !== undefined && addresses.some((one) => cidrContains(cidr, one.split('/')[0] ?? one));
  const up = interfaces.filter((port) => port.up && port.mac !== '' && port.mac !== '00:00:00:00:00:00');
  const shared = networks.filter((network) => up.filter((port) => inside(port, network)).length > 1);
  return up.flatMap((port) => {
    const its = shared.filter((network) => inside(port, network));
    return its.length === 0 ? [] : [{ port, networks: its }];
  });
}

export async function lookByPorts(
  vantage: Vantage,
  request: {
    readonly plan: Plan;
    readonly stage: Evidence['stage'];
    readonly only?: readonly string[] | undefined;
    readonly pace: PaceLimits;
  },
  { programs, now }: { readonly programs: Programs; readonly now: () => Date },
  signal: AbortSignal,
): Promise<PortLook[]> {
  if (!vantage.platform.startsWith('linux')) return [];
  const looks: PortLook[] = [];
  const ownAddresses = new Set(vantage.interfaces.flatMap(({ addresses }) => addresses.map(hostOf)));
  for (const { port, networks } of portsThatShare(vantage, request.plan.networks)) {
    if (signal.aborted) break;
    const own: Vantage = {
      ...vantage,
      name: portName(vantage.name, port.name),
      port: port.name,
      interfaces: [
        {
          ...port,
          addresses: port.addresses.filter((one) =>
            networks.some(({ cidr }) => cidr !== undefined && cidrContains(cidr, one.split('/')[0] ?? one)),
          ),
        },
      ],
      routes: [],
    };
    const deps = shellDeps(own, programs, now, undefined, port.name);
    const plan = limited(request.plan, networks, ownAddresses);
    looks.push({
      port: port.name,
      evidence: await observe({ ...request, plan, vantageName: own.name }, deps, signal),
    });
  }
  return looks;
}

/** The plan as far as it lies in these networks and is somebody else's: no host answers itself by another of its ports. */
function limited(plan: Plan, networks: readonly Network[], own: ReadonlySet<string>): Plan {
  const inside = (address: string | undefined): boolean =>
    address !== undefined &&
    !own.has(address) &&
    networks.some(({ cidr }) => cidr !== undefined && cidrContains(cidr, address));
  return {
    ...plan,
    networks,
    devices: plan.devices.map((device) => ({ ...device, defaultAddresses: [] })),
    endpoints: plan.endpoints
      .filter(({ address }) => inside(address))
      .map((endpoint) => ({ ...endpoint, defaultAddress: undefined })),
  };
}
