/** The tables that belong to a whole device: its links by IF-MIB, and what the plan's switches have learnt. */
import type { Endpoint, Plan } from '../plan/model.js';
import type { ResolvedSnmp } from '../probe/types.js';
import type { AddressSighting, DeviceLinks, SwitchTables } from '../sighting/types.js';
import type { Pacer } from './pace.js';
import type { Patiences } from './patience.js';
import type { Credential, ProbeSet } from './probe-set.js';

export interface TableContext {
  readonly probes: ProbeSet;
  readonly pacer: Pacer;
  readonly patiences: Patiences;
  readonly credentials: ReadonlyMap<string, Credential>;
  readonly signal: AbortSignal;
}

interface Agent {
  readonly endpoint: Endpoint;
  readonly address: string;
  readonly credential: ResolvedSnmp;
}

export async function readTables(
  plan: Plan,
  sightings: ReadonlyMap<string, AddressSighting>,
  context: TableContext,
): Promise<{ links: DeviceLinks[]; switches: SwitchTables[] }> {
  const { probes, pacer, patiences, signal } = context;
  const agents = answeringAgents(plan, sightings, context);
  const switchNames = new Set(
    plan.endpoints.flatMap((endpoint) => [
      ...(endpoint.role === 'switch' ? [endpoint.device] : []),
      ...(endpoint.switch === undefined ? [] : [endpoint.switch]),
    ]),
  );
  const links = agents.map(({ endpoint, address, credential }) =>
    pacer.run(endpoint.device, () =>
      probes.links(
        { address, credential, device: endpoint.device, controller: endpoint.controller },
        patiences.snmpTable,
        signal,
      ),
    ),
  );
  const asked = new Set<string>();
  const switches = agents.flatMap(({ endpoint, address, credential }) => {
    if (!switchNames.has(endpoint.device) || asked.has(endpoint.device)) return [];
    asked.add(endpoint.device);
    return [
      pacer.run(endpoint.device, () =>
        probes.switchTables({ address, credential, switch: endpoint.device }, patiences.snmpTable, signal),
      ),
    ];
  });
  return { links: await Promise.all(links), switches: await Promise.all(switches) };
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
