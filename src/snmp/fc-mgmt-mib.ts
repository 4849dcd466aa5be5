/** Ports and logins of a fabric switch (FC-MGMT-MIB, RFC 4044): both are indexed by ifIndex. */
import type { TableReader } from './columns.js';
import { fcName } from './fc-name.js';
import { INTERFACE_LIMIT } from './if-mib.js';

/** fcmgmtObjects = transmission 56, 1. */
const FC_MGMT = '1.3.6.1.2.1.10.56.1';
const TABLE = 'FC-MGMT-MIB';

export interface FcMgmtLogin {
  readonly ifIndex: number;
  readonly portName: string;
  readonly nodeName?: string | undefined;
}

export interface FcMgmt {
  /** fcmInstanceFabricId: name of the principal switch. */
  readonly fabricName?: string | undefined;
  /** fcmSwitchWWN of the switches behind this agent. */
  readonly switchNames: readonly string[];
  /** ifIndex -> fcmPortWwn, undefined where the port has none. */
  readonly ports: ReadonlyMap<number, string | undefined>;
  readonly logins: readonly FcMgmtLogin[];
}

export async function readFcMgmt(reader: TableReader): Promise<FcMgmt> {
  let fabricName: string | undefined;
  await reader.column(
    TABLE,
    `${FC_MGMT}.1.1.9`,
    (_index, varbind) => {
      fabricName ??= fcName(varbind);
    },
    INTERFACE_LIMIT,
  );
  const switchNames: string[] = [];
  await reader.column(
    TABLE,
    `${FC_MGMT}.2.1.4`,
    (_index, varbind) => {
      const name = fcName(varbind);
      if (name !== undefined) switchNames.push(name);
    },
    INTERFACE_LIMIT,
  );
  const ports = new Map<number, string | undefined>();
  await reader.column(
    TABLE,
    `${FC_MGMT}.3.1.2`,
    ([ifIndex], varbind) => {
      if (ifIndex !== undefined) ports.set(ifIndex, fcName(varbind));
    },
    INTERFACE_LIMIT,
  );
  const { names, nodes } = await readLogins(reader);
  const logins = [...names].map(([key, { ifIndex, portName }]): FcMgmtLogin => {
    const nodeName = nodes.get(key);
    return { ifIndex, portName, ...(nodeName === undefined ? {} : { nodeName }) };
  }, INTERFACE_LIMIT);
  return { ...(fabricName === undefined ? {} : { fabricName }), switchNames, ports, logins };
}

/** fcmFLoginEntry, index ifIndex and fcmFLoginNxPortIndex. */
async function readLogins(reader: TableReader): Promise<{
  names: ReadonlyMap<string, { readonly ifIndex: number; readonly portName: string }>;
  nodes: ReadonlyMap<string, string>;
}> {
  const names = new Map<string, { readonly ifIndex: number; readonly portName: string }>();
  const nodes = new Map<string, string>();
  await reader.column(
    TABLE,
    `${FC_MGMT}.9.1.2`,
    (index, varbind) => {
      const [ifIndex] = index;
      const portName = fcName(varbind);
      if (ifIndex !== undefined && portName !== undefined) names.set(index.join('.'), { ifIndex, portName });
    },
    INTERFACE_LIMIT,
  );
  if (names.size > 0)
    await reader.column(
      TABLE,
      `${FC_MGMT}.9.1.3`,
      (index, varbind) => {
        const name = fcName(varbind);
        if (name !== undefined) nodes.set(index.join('.'), name);
      },
      INTERFACE_LIMIT,
    );
  return { names, nodes };
}
