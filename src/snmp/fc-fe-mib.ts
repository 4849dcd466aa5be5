/** Ports and logins of a fabric switch (FIBRE-CHANNEL-FE-MIB, RFC 2837): indexed by module and FxPort, from 1. */
import type { TableReader } from './columns.js';
import { fcAddress, fcName } from './fc-name.js';
import { INTERFACE_LIMIT } from './if-mib.js';
import { numberValue } from './values.js';

/** fcFeMIBObjects = mib-2 75, 1. */
const FC_FE = '1.3.6.1.2.1.75.1';
const TABLE = 'FIBRE-CHANNEL-FE-MIB';
const FABRIC_NAME = `${FC_FE}.1.1.0`;

export interface FxPort {
  readonly module: number;
  /** fcFxPortIndex. */
  readonly number: number;
  readonly portName?: string | undefined;
  /** fcFxPortPhysOperStatus: `online` means that a login may come, not that anybody is there. */
  readonly state?: 'online' | 'offline' | 'testing' | 'link-failure' | undefined;
}

export interface FxLogin {
  readonly module: number;
  readonly number: number;
  readonly portName: string;
  readonly fcid?: string | undefined;
}

export interface FcFe {
  readonly fabricName?: string | undefined;
  /** By module and number. */
  readonly ports: readonly FxPort[];
  readonly logins: readonly FxLogin[];
}

const STATES = [undefined, 'online', 'offline', 'testing', 'link-failure'] as const;

export async function readFcFe(reader: TableReader): Promise<FcFe> {
  const ports = new Map<string, FxPort>();
  const names = new Map<string, FxLogin>();
  const states = new Map<string, FxPort['state']>();
  const addresses = new Map<string, string>();
  await reader.column(
    TABLE,
    `${FC_FE}.1.5.1.2`,
    ([module, number], varbind) => {
      if (module === undefined || number === undefined) return;
      const portName = fcName(varbind);
      ports.set(`${module}.${number}`, { module, number, ...(portName === undefined ? {} : { portName }) });
    },
    INTERFACE_LIMIT,
  );
  if (ports.size > 0)
    await reader.column(
      TABLE,
      `${FC_FE}.2.2.1.2`,
      (index, varbind) => {
        states.set(index.join('.'), STATES[numberValue(varbind) ?? 0]);
      },
      INTERFACE_LIMIT,
    );
  await reader.column(
    TABLE,
    `${FC_FE}.2.3.1.10`,
    (index, varbind) => {
      const [module, number] = index;
      const portName = fcName(varbind);
      if (module !== undefined && number !== undefined && portName !== undefined)
        names.set(index.join('.'), { module, number, portName });
    },
    INTERFACE_LIMIT,
  );
  if (names.size > 0)
    await reader.column(
      TABLE,
      `${FC_FE}.2.3.1.11`,
      (index, varbind) => {
        const address = fcAddress(varbind);
        if (address !== undefined) addresses.set(index.join('.'), address);
      },
      INTERFACE_LIMIT,
    );
  const found = ports.size === 0 ? undefined : (await reader.scalars([FABRIC_NAME])).get(FABRIC_NAME);
  const fabricName = found === undefined ? undefined : fcName(found);
  return {
    ...(fabricName === undefined ? {} : { fabricName }),
    ports: [...ports]
      .map(([key, port]) => ({ ...port, state: states.get(key) }))
      .sort((a, b) => a.module - b.module || a.number - b.number),
    logins: [...names].map(([key, login]) => ({ ...login, fcid: addresses.get(key) })),
  };
}
