/** What a fabric switch tells by three MIBs, as one table of ports and one of logins. Arithmetic alone. */
import type { FabricLogin, FabricPort, FabricTables, LinkStatus } from '../sighting/types.js';
import type { FcFe, FxPort } from './fc-fe-mib.js';
import type { FcMgmt } from './fc-mgmt-mib.js';
import type { Interface } from './if-mib.js';

/** IANAifType-MIB: fibreChannel. */
const FIBRE_CHANNEL = 56;

export type JoinedFabric = Pick<FabricTables, 'fabricName' | 'ports' | 'logins'>;

export function joinFabric(interfaces: ReadonlyMap<number, Interface>, mgmt: FcMgmt, fe: FcFe): JoinedFabric {
  const places = placesOf(interfaces, mgmt, fe.ports);
  const ports = new Map<string, FabricPort>();
  for (const ifIndex of mgmt.ports.keys()) {
    const port = portOf(ifIndex, interfaces, mgmt.ports.get(ifIndex));
    ports.set(port.port, port);
  }
  const loggedIn = new Set(fe.logins.map(keyOf));
  for (const fx of fe.ports) {
    const place = places(fx);
    const told = place.ifIndex === undefined ? undefined : portOf(place.ifIndex, interfaces, fx.portName);
    const operStatus = told?.operStatus ?? statusOf(fx, loggedIn.has(keyOf(fx)));
    ports.set(place.port, {
      ...present({ portName: fx.portName, operStatus }),
      ...ports.get(place.port),
      ...(told ?? { port: place.port }),
    });
  }
  const logins = new Map<string, FabricLogin>();
  const keep = (login: FabricLogin): void => {
    const key = JSON.stringify([login.portName, login.port]);
    logins.set(key, { ...logins.get(key), ...login });
  };
  for (const { ifIndex, portName, nodeName } of mgmt.logins)
    keep({ portName, ...present({ nodeName }), ifIndex, port: portOf(ifIndex, interfaces, undefined).port });
  for (const { fcid, portName, ...fx } of fe.logins) keep({ portName, ...places(fx), ...present({ fcid }) });
  const fabricName = mgmt.fabricName ?? fe.fabricName;
  return { ...present({ fabricName }), ports: [...ports.values()], logins: [...logins.values()] };
}

interface Place {
  readonly ifIndex?: number;
  readonly port: string;
}

/**
 * The interface of an FxPort: the one of the same port name, else the n-th of ifType 56 for the n-th FxPort where the counts agree
 * (names on housings often begin at 0, FxPorts at 1). Else nobody knows, and the port is called by its own index.
 */
function placesOf(
  interfaces: ReadonlyMap<number, Interface>,
  mgmt: FcMgmt,
  fxPorts: readonly FxPort[],
): (fx: Pick<FxPort, 'module' | 'number'>) => Place {
  const byName = new Map(
    [...mgmt.ports].flatMap(([ifIndex, name]) => (name === undefined ? [] : [[name, ifIndex]])),
  );
  const inOrder = [...interfaces.values()]
    .filter(({ ifType }) => ifType === FIBRE_CHANNEL)
    .map(({ ifIndex }) => ifIndex)
    .sort((a, b) => a - b);
  const modules = new Set(fxPorts.map(({ module }) => module));
  const places = new Map(
    fxPorts.map((fx, at): [string, Place] => {
      const ifIndex =
        (fx.portName === undefined ? undefined : byName.get(fx.portName)) ??
        (inOrder.length === fxPorts.length ? inOrder[at] : undefined);
      return [
        keyOf(fx),
        ifIndex === undefined
          ? { port: indexName(fx, modules.size) }
          : { ifIndex, port: nameOf(ifIndex, interfaces) },
      ];
    }),
  );
  return (fx) => places.get(keyOf(fx)) ?? { port: indexName(fx, modules.size) };
}

function indexName({ module, number }: Pick<FxPort, 'module' | 'number'>, modules: number): string {
  return modules > 1 ? `FxPort ${module}.${number}` : `FxPort ${number}`;
}

function keyOf({ module, number }: Pick<FxPort, 'module' | 'number'>): string {
  return `${module}.${number}`;
}

function portOf(
  ifIndex: number,
  interfaces: ReadonlyMap<number, Interface>,
  portName: string | undefined,
): FabricPort {
  const known = interfaces.get(ifIndex);
  return {
    ifIndex,
    port: nameOf(ifIndex, interfaces),
    ...present({ portName, operStatus: known?.operStatus, speedMbps: known?.speedMbps }),
  };
}

function nameOf(ifIndex: number, interfaces: ReadonlyMap<number, Interface>): string {
  const known = interfaces.get(ifIndex);
  return known?.ifName ?? known?.ifDescr ?? `interface ${ifIndex}`;
}

/** Without an interface: `online` alone may be an empty port, so only a login makes it up. */
function statusOf({ state }: FxPort, loggedIn: boolean): LinkStatus | undefined {
  switch (state) {
    case 'online':
      return loggedIn ? 'up' : undefined;
    case 'offline':
    case 'link-failure':
      return 'down';
    case 'testing':
      return 'testing';
    default:
      return undefined;
  }
}

type Present<Values> = { [Key in keyof Values]?: Exclude<Values[Key], undefined> };

function present<Values extends object>(values: Values): Present<Values> {
  return Object.fromEntries(
    Object.entries(values).filter(([, value]) => value !== undefined),
  ) as Present<Values>;
}
