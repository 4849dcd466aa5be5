/** The tables that belong to a whole device: its links, its power supplies, what the plan's switches have learnt and who is logged in. */
import type { Endpoint, Plan } from '../plan/model.js';
import type { ResolvedSnmp } from '../probe/types.js';
import type { Ceilings } from '../sighting/ceilings.js';
import type {
  AddressSighting,
  DeviceLinks,
  FabricTables,
  PowerSupplies,
  SwitchTables,
} from '../sighting/types.js';
import type { Entry } from './entry.js';
import type { Pacer } from './pace.js';
import type { Patiences } from './patience.js';
import type { Credential, ProbeSet } from './probe-set.js';
import type { Settled } from './resume.js';

export interface TableContext {
  readonly probes: ProbeSet;
  readonly pacer: Pacer;
  readonly patiences: Patiences;
  readonly credentials: ReadonlyMap<string, Credential>;
  readonly signal: AbortSignal;
  /** What a run that was cut off had read. */
  readonly settled?: Settled | undefined;
  readonly ceilings: Ceilings;
  /** Told each table as it comes. */
  readonly tell?: ((entry: Entry) => void) | undefined;
}

interface Agent {
  readonly endpoint: Endpoint;
  readonly address: string;
  readonly credential: ResolvedSnmp;
}

export interface Tables {
  readonly links: readonly DeviceLinks[];
  readonly switches: readonly SwitchTables[];
  readonly fabrics: readonly FabricTables[];
  readonly power: readonly PowerSupplies[];
}

export const NO_TABLES: Tables = { links: [], switches: [], fabrics: [], power: [] };

export async function readTables(
  plan: Plan,
  sightings: ReadonlyMap<string, AddressSighting>,
  context: TableContext,
): Promise<Tables> {
  const { probes, pacer, patiences, signal, settled, ceilings, tell = () => {} } = context;
  const agents = answeringAgents(plan, sightings, context);
  const switchNames = new Set(
    plan.endpoints.flatMap((endpoint) => [
      ...(endpoint.role === 'switch' ? [endpoint.device] : []),
      ...endpoint.switchPorts.map((member) => member.switch),
    ]),
  );
  /** Read on the turn of its device and told, unless a run that was cut off had it. */
  const read = async <T>(
    device: string,
    earlier: T | undefined,
    ask: () => Promise<T>,
    bounded: (table: T) => T,
    entryOf: (table: T) => Entry,
  ): Promise<T> => {
    if (earlier !== undefined) return earlier;
    const table = bounded(await pacer.run(device, ask));
    tell(entryOf(table));
    return table;
  };
  const links = agents.map(({ endpoint: { device, controller }, address, credential }) =>
    read(
      device,
      settled?.links.find((one) => one.device === device && one.controller === controller),
      () => probes.links({ address, credential, device, controller }, patiences.snmpTable, signal),
      ceilings.links,
      (one) => ({ kind: 'links', links: one }),
    ),
  );
  const once = oncePerDevice(agents);
  const switches = once
    .filter(({ endpoint }) => switchNames.has(endpoint.device))
    .map(({ endpoint: { device }, address, credential }) =>
      read(
        device,
        settled?.switches.find((one) => one.switch === device),
        () => probes.switchTables({ address, credential, switch: device }, patiences.snmpTable, signal),
        ceilings.switchTables,
        (tables) => ({ kind: 'switch', tables }),
      ),
    );
  // A cable in the wrong hole may be in any switch of the site: each is asked, and those without a fabric are left out.
  const fibre = plan.endpoints.filter(isFibreChannel);
  const planned = new Set(fibre.flatMap(({ switchPorts }) => switchPorts.map((member) => member.switch)));
  const fabrics = once
    .filter(({ endpoint }) => fibre.length > 0 && switchNames.has(endpoint.device))
    .map(({ endpoint: { device }, address, credential }) =>
      read(
        device,
        settled?.fabrics.find((one) => one.switch === device),
        () => probes.fabricTables({ address, credential, switch: device }, patiences.snmpTable, signal),
        ceilings.fabricTables,
        (tables) => ({ kind: 'fabric', tables }),
      ),
    );
  const fed = new Set(plan.devices.filter(({ feeds }) => feeds.length > 0).map(({ name }) => name));
  const power = once
    .filter(({ endpoint }) => fed.has(endpoint.device))
    .map(({ endpoint: { device }, address, credential }) =>
      read(
        device,
        settled?.power.find((one) => one.device === device),
        () => probes.powerSupplies({ address, credential, device }, patiences.snmpTable, signal),
        // Their number and names are bounded by their reader.
        (supplies) => supplies,
        (supplies) => ({ kind: 'power', supplies }),
      ),
    );
  return {
    links: await Promise.all(links),
    switches: await Promise.all(switches),
    fabrics: (await Promise.all(fabrics)).filter(
      (one) => planned.has(one.switch) || one.ports.length > 0 || one.logins.length > 0,
    ),
    power: (await Promise.all(power)).filter(({ supplies }) => supplies.length > 0),
  };
}

function isFibreChannel({ media, wwpn }: Endpoint): boolean {
  return media === 'fc' || wwpn !== undefined;
}

/** A device with two controllers has one set of tables as a switch, and one of supplies. */
function oncePerDevice(agents: readonly Agent[]): Agent[] {
  const asked = new Set<string>();
  return agents.filter(({ endpoint }) => {
    if (asked.has(endpoint.device)) return false;
    asked.add(endpoint.device);
    return true;
  });
}

/** One answering agent for each controller of each device. */
function answeringAgents(
  plan: Plan,
  sightings: ReadonlyMap<string, AddressSighting>,
  { credentials }: TableContext,
): Agent[] {
  const agents = new Map<string, Agent>();
  for (const endpoint of plan.endpoints) {
    const key = `${endpoint.device}/${endpoint.controller ?? ''}`;
    const sighting = endpoint.address === undefined ? undefined : sightings.get(endpoint.address);
    if (sighting?.snmp.outcome !== 'replied' || agents.has(key)) continue;
    const credential = credentials.get(sighting.snmp.credential);
    if (credential === undefined || 'missing' in credential) continue;
    agents.set(key, { endpoint, address: sighting.address, credential });
  }
  return [...agents.values()];
}
