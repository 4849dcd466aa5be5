/** What the scheduler asks with where programs are all there is: who is there, echo, path MTU, connections. The rest says why not. */
import type { PlannedService } from '../plan/model.js';
import { isBarePort } from '../plan/services.js';
import { icmpProbe } from '../probe/icmp.js';
import { mtuProbe } from '../probe/path-mtu.js';
import { answered, notAsked } from '../probe/service-probe.js';
import type { ObserveDeps } from '../run/observe.js';
import type { ProbeSet } from '../run/probe-set.js';
import { standpointFinder } from '../run/standpoint.js';
import type { NotRun, Vantage } from '../sighting/types.js';
import type { Programs } from '../system/program-types.js';
import { shellPresence } from './shell-presence.js';

/** `tcp`: absent where that place cannot connect. `port`: asks by this port of that place alone. */
export function shellDeps(
  vantage: Vantage,
  programs: Programs,
  now: () => Date,
  tcp: ProbeSet['tcp'] | undefined,
  port?: string,
): ObserveDeps {
  let standpoint: ReturnType<typeof standpointFinder> | undefined;
  return {
    clock: { now: () => performance.now(), date: now },
    surroundings: {
      vantage: async () => vantage,
      standpoint(_vantage, address, plan) {
        standpoint ??= standpointFinder('linux', vantage, plan);
        return standpoint(address);
      },
      findPresent: async (request, signal, onFound) => ({
        presence: await shellPresence(programs, request, signal, onFound, port),
        ownNeighbours: [],
        proxyArp: [],
        notes: [],
      }),
    },
    probes: shellProbes(vantage, port === undefined ? programs : byPort(programs, port), tcp, port),
  };
}

const CANNOT: NotRun = {
  outcome: 'not-run',
  cause: 'not-supported',
  reason: 'a shell cannot ask this: it needs Node 20 or newer at that place',
};

/** ping(8), option -I: the socket is bound to the port. */
function byPort(programs: Programs, port: string): Programs {
  return {
    ...programs,
    run: (command, args, options) =>
      programs.run(command, command.startsWith('ping') ? ['-I', port, ...args] : args, options),
  };
}

function shellProbes(
  { abilities }: Vantage,
  programs: Programs,
  tcp: ProbeSet['tcp'] | undefined,
  port: string | undefined,
): ProbeSet {
  const { ping } = abilities;
  const flavour = ping.able ? ping.flavour : undefined;
  const noTcp: NotRun = {
    ...CANNOT,
    reason:
      port === undefined
        ? 'that place has no bash or no timeout program to connect with'
        : `a connection cannot be held to ${port} alone: echo and ARP are`,
  };
  const never = (): Promise<never> => Promise.reject(new Error('no agent answers a shell'));
  const connect: ProbeSet['tcp'] =
    tcp ?? (async ({ service }) => ({ port: service.port, service: service.name, ...noTcp }));
  return {
    icmp: ping.able
      ? icmpProbe({ programs, platform: 'linux', flavour })
      : async () => ({ outcome: 'not-run', cause: ping.cause ?? 'not-installed', reason: ping.reason }),
    mtu: mtuProbe({ programs, platform: 'linux', flavour }),
    tcp: connect,
    prove: async ({ service }) => ({ proof: proofBy(service) }),
    snmp: async ({ service }) => ({ sighting: CANNOT, proof: notAsked(service, CANNOT) }),
    redfish: async () => CANNOT,
    iscsi: async () => CANNOT,
    links: never,
    switchTables: never,
    fabricTables: never,
    powerSupplies: never,
    resolveCredential: async ({ name }) => ({ missing: `${name} is not asked by a shell` }),
  };
}

/** It is asked of ports that took a connection: of a bare port that is all there is to prove. */
function proofBy(service: PlannedService) {
  return isBarePort(service) ? answered(service, 'proven', 'accepts connections') : notAsked(service, CANNOT);
}
