/** The real world for a run: this laptop's interfaces, programs, sockets and clock. */

import { hostname } from 'node:os';
import { readVantage } from '../kit/read-vantage.js';
import { familyOf, hostOf, needsZone } from '../plan/address.js';
import type { Plan } from '../plan/model.js';
import type { KeptCapture } from '../presence/capture.js';
import { openDatagrams } from '../presence/datagrams.js';
import { findPresent } from '../presence/find-present.js';
import { type Listener, listen } from '../presence/listen.js';
import { type OwnWatch, watchOwnAddresses } from '../presence/own-addresses.js';
import { connectSender } from '../probe/connect-sender.js';
import { echoPings } from '../probe/echo-pings.js';
import { echoSender } from '../probe/echo-sender.js';
import { icmpProbe } from '../probe/icmp.js';
import { probeIscsi } from '../probe/iscsi.js';
import { mtuProbe } from '../probe/path-mtu.js';
import { quickConnect } from '../probe/quick-connect.js';
import { probeRedfish } from '../probe/redfish.js';
import { proveService } from '../probe/services.js';
import { probeTcp } from '../probe/tcp.js';
import type { Clock } from '../probe/types.js';
import type { Abilities, IcmpSighting, Vantage } from '../sighting/types.js';
import { probeSnmp } from '../snmp/agent.js';
import { resolveCredential } from '../snmp/credentials.js';
import { readFabricTables } from '../snmp/fabric-tables.js';
import { readLinks } from '../snmp/links.js';
import { readPowerSupplies } from '../snmp/power-supplies.js';
import { readSwitchTables } from '../snmp/switch-tables.js';
import { burstPrograms } from '../system/burst-programs.js';
import { readOrdinaryFile } from '../system/ordinary-file.js';
import { type PortWatch, watchPorts } from '../system/port-watch.js';
import { programs } from '../system/programs.js';
import { thisSystem } from '../system/this-system.js';
import { zoned } from '../system/zone.js';
import { reachOf } from '../vantage/reach.js';
import { inBatches } from './in-batches.js';
import type { ObserveDeps } from './observe.js';
import { notRunWhilePortAway } from './own-port-away.js';
import type { ProbeSet } from './probe-set.js';
import { standpointFinder } from './standpoint.js';
import type { PresenceRequest, Surroundings } from './surroundings.js';
import { patiencesOn } from './system-patience.js';
import { zonedProbes } from './zoned-probes.js';

export interface World {
  readonly env: Readonly<Record<string, string | undefined>>;
  readonly platform: string;
}

/** Echoes take a process each. Whatever starting one costs, it is not this process that stands still meanwhile. */
const pings = burstPrograms(programs);

const clock: Clock = { now: () => performance.now(), date: () => new Date() };

/** A community or a key is a line. */
const LARGEST_SECRET_BYTES = 4 * 1024;

export interface RealDeps extends ObserveDeps {
  /** Begins to read where the laptop stands, before anybody asks for it. */
  ahead(name?: string): void;
  /** Ends what `ahead` began and no run has ended. Never rejects. */
  end(): Promise<void>;
}

/** Deps for `observe` on this laptop. The probes are chosen by what the vantage turns out to be able to do. */
export function realDeps(world: World): RealDeps {
  let standpoint: ReturnType<typeof standpointFinder> | undefined;
  let abilities: Abilities | undefined;
  // Open for as long as the run takes: a switch says who it is every 30 s (IEEE 802.1AB default).
  let listener: Listener | undefined;
  let stopped: Promise<void> | undefined;
  let early: Promise<Vantage> | undefined;
  /** Open since the right to capture was tried, so that it hears the first question. */
  let kept: KeptCapture | undefined;
  let own: OwnWatch | undefined;
  let ports: PortWatch | undefined;
  /** Address -> the laptop's port that leads there. */
  const leavesBy = new Map<string, string | undefined>();
  const portOf = (address: string): string | undefined => leavesBy.get(address);
  const surroundings: Surroundings = {
    async vantage(name) {
      const own = name ?? hostname();
      const vantage = await (early ?? readVantage(own, thisSystem()));
      early = undefined;
      abilities = vantage.abilities;
      return { ...vantage, name: own };
    },
    standpoint(vantage, address, plan) {
      standpoint ??= standpointFinder(world.platform, vantage, plan);
      const found = standpoint(address);
      leavesBy.set(address, found.interface);
      return found;
    },
    async findPresent(request, signal, onFound) {
      const { addresses, vantage, deviceOf, tableRoom, silence, frames } = request;
      const used = portsTo(vantage, addresses, portOf);
      // Without the rights to make the system ask again, the one question that it puts must be heard.
      const atOnce = vantage.abilities.privileged;
      listener = await listen(vantage, used, { system: thisSystem(), clock, atOnce, kept }, signal);
      own = watchOwnAddresses(vantage, used, { programs, listener, clock }, signal);
      return findPresent(
        {
          addresses,
          vantage,
          deviceOf,
          portOf,
          networks: knownNetworks(request),
          tableRoom,
          silence,
          frames,
        },
        { system: thisSystem(), clock, datagrams: openDatagrams, listener, lostSince: ports?.lostSince },
        signal,
        onFound,
      );
    },
    async endListening() {
      const ownClaimed = await own?.ended();
      const heard = {
        ownNeighbours: listener?.neighbours() ?? [],
        ownClaimed,
        notes: listener?.notes() ?? [],
      };
      // What it heard is told: nobody waits until the program that captured has ended.
      stopped = listener?.stop();
      listener = undefined;
      return heard;
    },
  };
  const onWire = (address: string): string => zoned(thisSystem(), address, portOf(address));
  const told = notRunWhilePortAway(
    {
      surroundings,
      probes: zonedProbes(
        realProbes(world, () => abilities),
        onWire,
      ),
    },
    clock,
    () => {
      ports = watchPorts(thisSystem(), clock);
      return ports;
    },
  );
  return {
    ...told,
    clock,
    patiences: patiencesOn(thisSystem().timings),
    ahead(name) {
      early = readVantage(name ?? hostname(), thisSystem(), undefined, (capture) => {
        kept = capture;
      });
    },
    async end() {
      await early;
      kept?.capture.stop();
      await Promise.all([stopped, kept?.capture.ended]);
    },
  };
}

/** Programs that are worth their start once more than so many questions are open. */
const echoes = inBatches([echoSender, echoPings], 3);
const connections = inBatches([connectSender], 16);

const firstEchoes = (
  address: string,
  waitMs: number,
  byItself: () => Promise<IcmpSighting>,
  signal: AbortSignal,
): Promise<IcmpSighting> =>
  echoes(
    address,
    waitMs,
    async (echo) => {
      if (echo === 'unknown') return byItself();
      return echo === 'silent'
        ? { outcome: 'no-reply', sent: 1 }
        : { outcome: 'replied', rttMs: echo.rttMs, sent: 1, received: 1 };
    },
    signal,
  );

function realProbes(world: World, abilities: () => Abilities | undefined): ProbeSet {
  return {
    icmp: (target, patience, signal) => {
      const ping = abilities()?.ping;
      if (ping !== undefined && !ping.able) {
        const mend = ping.mend === undefined ? {} : { mend: ping.mend };
        return Promise.resolve({
          outcome: 'not-run' as const,
          cause: ping.cause ?? 'not-installed',
          reason: ping.reason,
          ...mend,
        });
      }
      const byItself = (): Promise<IcmpSighting> =>
        icmpProbe({ programs: pings, platform: world.platform, flavour: ping?.flavour })(
          target,
          patience,
          signal,
        );
      const batched = patience.attempts === 1 && world.platform === 'linux' && ping?.flavour === 'iputils';
      return batched && familyOf(target.address) === 4
        ? firstEchoes(target.address, patience.timeoutMs, byItself, signal)
        : byItself();
    },
    tcp: probeTcp,
    prove: world.platform === 'linux' ? quickConnect(connections, proveService) : proveService,
    snmp: probeSnmp,
    redfish: probeRedfish,
    iscsi: probeIscsi,
    mtu: (target, patience, signal) =>
      mtuProbe({ programs, platform: world.platform, flavour: abilities()?.ping.flavour })(
        target,
        patience,
        signal,
      ),
    links: readLinks,
    switchTables: readSwitchTables,
    fabricTables: readFabricTables,
    powerSupplies: readPowerSupplies,
    resolveCredential: (credential) =>
      resolveCredential(credential, {
        env: world.env,
        readFile: (path) => readOrdinaryFile(path, LARGEST_SECRET_BYTES),
      }),
  };
}

/** The laptop's own ports that lead to these addresses without a router. */
function portsTo(
  vantage: Vantage,
  addresses: readonly string[],
  portOf: (address: string) => string | undefined,
): string[] {
  const ports = addresses.flatMap((address) => {
    const port = needsZone(address) ? portOf(address) : undefined;
    if (port !== undefined) return [port];
    const way = reachOf(vantage, address);
    return way.reach === 'on-link' && !way.loopback && way.interface !== undefined ? [way.interface] : [];
  });
  return [...new Set(ports)];
}

function knownNetworks({ networks, planned, vantage }: PresenceRequest) {
  const own = vantage.interfaces.flatMap(({ addresses }) => addresses.map(hostOf));
  return networks.flatMap(({ name, cidr, gateway, reserved }: Plan['networks'][number]) =>
    cidr === undefined
      ? []
      : [{ name, cidr, reserved, taken: [...planned, ...own, ...(gateway === undefined ? [] : [gateway])] }],
  );
}
