/** Power supplies of a device by its own agent: entPhysicalClass powerSupply (RFC 6933) with entStateOper (RFC 4268). */
import type { Probe, ResolvedSnmp } from '../probe/types.js';
import type { PowerSupplies } from '../sighting/types.js';
import { readingTables, type TableReader } from './columns.js';
import { numberValue, textValue } from './values.js';

export interface PowerTarget {
  readonly address: string;
  readonly credential: ResolvedSnmp;
  readonly device: string;
}

/** RFC 6933: entPhysicalDescr 2, entPhysicalClass 5, entPhysicalName 7. */
const ENTITY = '1.3.6.1.2.1.47.1.1.1.1';
/** PhysicalClass (RFC 6933, IANA-ENTITY-MIB). */
const POWER_SUPPLY = 6;
/** RFC 4268: entStateOper. */
const STATE_OPER = '1.3.6.1.2.1.131.1.1.1.3';
/** EntityOperState (RFC 4267): disabled 2 is not able to work, enabled 3 is; unknown 1 and testing 4 say neither. */
const STATES: Readonly<Record<number, Supply['state']>> = { 2: 'not-working', 3: 'working' };

type Supply = PowerSupplies['supplies'][number];

/** Without supplies where the agent has no such table: that is no failure, and proves nothing. */
export const readPowerSupplies: Probe<PowerTarget, PowerSupplies> = async (target, patience, signal) => {
  const { supplies } = await readingTables(target, patience, signal, NONE, async (reader) => ({
    supplies: await readSupplies(reader),
  }));
  return { device: target.device, askedAt: target.address, supplies };
};

const NONE: Pick<PowerSupplies, 'supplies'> = { supplies: [] };

async function readSupplies(reader: TableReader): Promise<Supply[]> {
  const rows = new Set<number>();
  await reader.column('ENTITY-MIB', `${ENTITY}.5`, ([row], varbind) => {
    if (row !== undefined && numberValue(varbind) === POWER_SUPPLY && rows.size < MOST_SUPPLIES)
      rows.add(row);
  });
  if (rows.size === 0) return [];
  const names = new Map<number, string>();
  // entPhysicalName first; where it is empty entPhysicalDescr tells.
  for (const column of [7, 2])
    await reader.column('ENTITY-MIB', `${ENTITY}.${column}`, ([row], varbind) => {
      const name = textValue(varbind, 64);
      if (row !== undefined && rows.has(row) && name !== undefined && !names.has(row)) names.set(row, name);
    });
  const states = new Map<number, Supply['state']>();
  await reader.column('ENTITY-STATE-MIB', STATE_OPER, ([row], varbind) => {
    if (row !== undefined && rows.has(row)) states.set(row, STATES[numberValue(varbind) ?? 0] ?? 'unknown');
  });
  return [...rows].map(
    (row, at): Supply => ({
      name: names.get(row) ?? `supply ${at + 1}`,
      state: states.get(row) ?? 'unknown',
    }),
  );
}

/** More than a rack of power shelves has; what lies above it is a lie. */
const MOST_SUPPLIES = 256;
