/**
 * The tables that belong to a whole device: its links, its power supplies, what the plan's switches have learnt and who is logged in.
 * Each is begun as soon as an agent of the device answers.
 */
import type { Endpoint, Plan } from '../plan/model.js';
import type { Patience, ResolvedSnmp } from '../probe/types.js';
import type { Ceilings } from '../sighting/ceilings.js';
import type {
  AddressSighting,
  DeviceLinks,
  FabricTables,
  PowerSupplies,
  SwitchTables,
} from '../sighting/types.js';
import type { DeviceShares } from './device-share.js';
import type { Entry } from './journal-entry.js';
import { FRAMES, type Pacer } from './pace.js';
import type { Patiences } from './patience.js';
import type { Credential, ProbeSet } from './probe-set.js';
import type { Question } from './questions.js';
import type { EarlierAnswers } from './resume.js';

export interface TableContext {
  readonly probes: ProbeSet;
  readonly pacer: Pacer;
  readonly patiences: Patiences;
  readonly shares: DeviceShares;
  readonly credentials: ReadonlyMap<string, Credential>;
  readonly signal: AbortSignal;
  /** What a run that was cut off had read. */
  readonly earlier?: EarlierAnswers | undefined;
  readonly ceilings: Ceilings;
  /** Told each table as it comes. */
  readonly tell?: ((entry: Entry) => void) | undefined;
}

export interface Tables {
  readonly links: readonly DeviceLinks[];
  readonly switches: readonly SwitchTables[];
  readonly fabrics: readonly FabricTables[];
  readonly power: readonly PowerSupplies[];
}

export interface TableReading {
  /** An agent answered at the address of these endpoints. The first of each controller, and of each device, is the one that is read. */
  agent(question: Pick<Question, 'endpoints' | 'address'>, snmp: AddressSighting['snmp']): void;
  /** All that was begun, in the order of the plan. */
  ended(): Promise<Tables>;
}

export function startTables(plan: Plan, context: TableContext): TableReading {
  const {
    probes,
    pacer,
    patiences,
    shares,
    credentials,
    signal,
    earlier,
    ceilings,
    tell = () => {},
  } = context;
  const place = new Map(plan.endpoints.map(({ id }, index) => [id, index]));
  const switchNames = new Set(
    plan.endpoints.flatMap((endpoint) => [
      ...(endpoint.role === 'switch' ? [endpoint.device] : []),
      ...endpoint.switchPorts.map((member) => member.switch),
    ]),
  );
  const fed = new Set(plan.devices.filter(({ feeds }) => feeds.length > 0).map(({ name }) => name));
  const fibre = plan.endpoints.filter(isFibreChannel);
  const planned = new Set(fibre.flatMap(({ switchPorts }) => switchPorts.map((member) => member.switch)));
  const links = new Shelf<DeviceLinks>();
  const switches = new Shelf<SwitchTables>();
  const fabrics = new Shelf<FabricTables>();
  const power = new Shelf<PowerSupplies>();

  const begin = (endpoint: Endpoint, address: string, credential: ResolvedSnmp): void => {
    const { device, controller, id } = endpoint;
    const at = place.get(id) ?? 0;
    const agent = { address, credential };
    /** What is left of the time of the device: where it is nothing, the table says so and nothing is sent. */
    const within = async <T extends object>(ask: (patience: Patience) => Promise<T>): Promise<T> => {
      const usual = { ...patiences.snmpTable, mayAsk: () => pacer.request(device) };
      const fromMs = performance.now();
      const table = await ask({ ...usual, talkMs: shares.leftMs(device) });
      if ('cutBecause' in table && (table.cutBecause === 'bound-reached' || table.cutBecause === 'timeout'))
        shares.waitedInVain(device, fromMs);
      return table;
    };
    /** Read on the turn of its device and told, unless a run that was cut off had it. */
    const read = <T extends object>(
      shelf: Shelf<T>,
      key: string,
      earlier: T | undefined,
      way: Reading<T>,
    ): void =>
      shelf.put(key, at, async () => {
        if (earlier !== undefined) return way.bounded(earlier);
        const table = way.bounded(await pacer.run(device, FRAMES.request, () => within(way.ask)));
        tell(way.entry(table));
        return table;
      });
    read(
      links,
      `${device}/${controller ?? ''}`,
      earlier?.links.find((one) => one.device === device && one.controller === controller),
      {
        ask: (patience) => probes.links({ ...agent, device, controller }, patience, signal),
        bounded: ceilings.links,
        entry: (one) => ({ kind: 'links', links: one }),
      },
    );
    if (switchNames.has(device))
      read(
        switches,
        device,
        earlier?.switches.find((one) => one.switch === device),
        {
          ask: (patience) => probes.switchTables({ ...agent, switch: device }, patience, signal),
          bounded: ceilings.switchTables,
          entry: (tables) => ({ kind: 'switch', tables }),
        },
      );
    // A cable in the wrong switch port may be in any switch of the site: each is asked, and those without a fabric are left out.
    if (switchNames.has(device) && fibre.length > 0)
      read(
        fabrics,
        device,
        earlier?.fabrics.find((one) => one.switch === device),
        {
          ask: (patience) => probes.fabricTables({ ...agent, switch: device }, patience, signal),
          bounded: ceilings.fabricTables,
          entry: (tables) => ({ kind: 'fabric', tables }),
        },
      );
    if (fed.has(device))
      read(
        power,
        device,
        earlier?.power.find((one) => one.device === device),
        {
          ask: (patience) => probes.powerSupplies({ ...agent, device }, patience, signal),
          bounded: ceilings.power,
          entry: (supplies) => ({ kind: 'power', supplies }),
        },
      );
  };

  return {
    agent: ({ endpoints, address }, snmp) => {
      if (snmp.outcome !== 'replied' || signal.aborted) return;
      const credential = credentials.get(snmp.credential);
      if (credential === undefined || 'missing' in credential) return;
      for (const endpoint of endpoints) begin(endpoint, address, credential);
    },
    ended: async () => ({
      links: await links.all(),
      switches: await switches.all(),
      fabrics: (await fabrics.all()).filter(
        (one) => planned.has(one.switch) || one.ports.length > 0 || one.logins.length > 0,
      ),
      power: (await power.all()).filter(({ supplies }) => supplies.length > 0),
    }),
  };
}

interface Reading<T> {
  readonly ask: (patience: Patience) => Promise<T>;
  /** Cut to what is kept of one device. */
  readonly bounded: (table: T) => T;
  readonly entry: (table: T) => Entry;
}

/** One table for each key, whoever asks for it first. */
class Shelf<T> {
  readonly #begun = new Map<string, { readonly at: number; readonly read: Promise<T> }>();

  put(key: string, at: number, read: () => Promise<T>): void {
    if (!this.#begun.has(key)) this.#begun.set(key, { at, read: read() });
  }

  all(): Promise<T[]> {
    const inOrder = [...this.#begun.values()].sort((one, other) => one.at - other.at);
    return Promise.all(inOrder.map(({ read }) => read));
  }
}

function isFibreChannel({ media, wwpn }: Endpoint): boolean {
  return media === 'fc' || wwpn !== undefined;
}
