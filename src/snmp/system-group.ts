/** The system group (RFC 3418), and serial numbers and software of ENTITY-MIB (RFC 6933): what an agent says of its device. */
import type { Varbind } from 'net-snmp';
import type { SnmpIdentity } from '../sighting/types.js';
import type { SnmpFailure } from './failure.js';
import type { SnmpSession } from './session.js';
import { hasValue, numberValue, textValue } from './values.js';
import { type WalkLimits, walkColumn } from './walk.js';

const SYSTEM = '1.3.6.1.2.1.1';
const SYSTEM_OIDS = {
  sysDescr: `${SYSTEM}.1.0`,
  sysObjectId: `${SYSTEM}.2.0`,
  upTimeTicks: `${SYSTEM}.3.0`,
  sysContact: `${SYSTEM}.4.0`,
  sysName: `${SYSTEM}.5.0`,
  sysLocation: `${SYSTEM}.6.0`,
} as const;

/** entPhysicalEntry (RFC 6933), indexed by entPhysicalIndex. */
const ENT_PHYSICAL = {
  class: '1.3.6.1.2.1.47.1.1.1.1.5',
  firmware: '1.3.6.1.2.1.47.1.1.1.1.9',
  software: '1.3.6.1.2.1.47.1.1.1.1.10',
  serial: '1.3.6.1.2.1.47.1.1.1.1.11',
} as const;
/** PhysicalClass (RFC 6933): chassis(3). */
const CHASSIS = 3;
/** Serial numbers kept of one device. */
const SERIAL_LIMIT = 16;
const ENTITY_LIMITS: WalkLimits = { maxRows: 2048, maxMs: 5000, maxBytes: 256 * 1024 };

export type SystemGroup =
  | { readonly ok: true; readonly identity: SnmpIdentity }
  | { readonly ok: false; readonly failure: SnmpFailure };

export async function readSystemGroup(session: SnmpSession): Promise<SystemGroup> {
  const oids = Object.values(SYSTEM_OIDS);
  const whole = await session.get(oids);
  if (whole.ok) return { ok: true, identity: identityFrom(whole.varbinds) };
  if (whole.failure.kind !== 'error-status') return whole;
  // SNMPv1 fails the whole question for one absent object (RFC 1157 §4.1.2), so each is asked alone.
  const found: Varbind[] = [];
  for (const oid of oids) {
    const one = await session.get([oid]);
    if (one.ok) found.push(...one.varbinds);
    else if (one.failure.kind !== 'error-status') return found.length === 0 ? one : kept(found);
  }
  return kept(found);
}

function kept(varbinds: readonly Varbind[]): { readonly ok: true; readonly identity: SnmpIdentity } {
  return { ok: true, identity: identityFrom(varbinds) };
}

function identityFrom(varbinds: readonly Varbind[]): SnmpIdentity {
  const by = new Map(varbinds.map((varbind) => [varbind.oid, varbind]));
  const text = (oid: string) => textValue(by.get(oid));
  return present({
    sysDescr: text(SYSTEM_OIDS.sysDescr),
    sysObjectId: text(SYSTEM_OIDS.sysObjectId),
    sysContact: text(SYSTEM_OIDS.sysContact),
    sysName: text(SYSTEM_OIDS.sysName),
    sysLocation: text(SYSTEM_OIDS.sysLocation),
    upTimeTicks: numberValue(by.get(SYSTEM_OIDS.upTimeTicks)),
  });
}

/** Absent keys instead of undefined ones: what matrix.json keeps is what was said. */
export function present<Values extends object>(values: Values): Partial<Values> {
  return Object.fromEntries(
    Object.entries(values).filter(([, value]) => value !== undefined),
  ) as Partial<Values>;
}

/** Chassis rows first; an agent without the table tells nothing, and that is no failure. */
export async function readHardware(
  session: SnmpSession,
  limits: WalkLimits = ENTITY_LIMITS,
): Promise<Pick<SnmpIdentity, 'serials' | 'software'>> {
  const serials = await textColumn(session, ENT_PHYSICAL.serial, limits);
  const software = await textColumn(session, ENT_PHYSICAL.software, limits);
  const firmware = software.size > 0 ? software : await textColumn(session, ENT_PHYSICAL.firmware, limits);
  if (serials.size === 0 && firmware.size === 0) return {};
  const chassis = new Set<number>();
  await walkColumn(
    session,
    ENT_PHYSICAL.class,
    ([row], varbind) => {
      if (row !== undefined && hasValue(varbind) && numberValue(varbind) === CHASSIS) chassis.add(row);
    },
    limits,
  );
  const chassisFirst = (texts: ReadonlyMap<number, string>): string[] => [
    ...new Set(
      [...texts]
        .sort(([a], [b]) => Number(chassis.has(b)) - Number(chassis.has(a)) || a - b)
        .map(([, text]) => text),
    ),
  ];
  // Of a part that is not the chassis the version is that part's alone.
  const version = [...firmware].find(([row]) => chassis.has(row))?.[1];
  return present({
    serials: serials.size === 0 ? undefined : chassisFirst(serials).slice(0, SERIAL_LIMIT),
    software: version,
  });
}

async function textColumn(
  session: SnmpSession,
  column: string,
  limits: WalkLimits,
): Promise<ReadonlyMap<number, string>> {
  const texts = new Map<number, string>();
  await walkColumn(
    session,
    column,
    ([row], varbind) => {
      const text = textValue(varbind, 64);
      if (row !== undefined && text !== undefined) texts.set(row, text);
    },
    limits,
  );
  return texts;
}
