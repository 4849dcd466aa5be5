/** Which interface an LLDP local port number means. */
import type { Interface } from './if-mib.js';
import type { LocalPort } from './lldp-mib.js';

/**
 * What the local port says of itself goes first; the number alone is a bridge port on a bridge and an ifIndex elsewhere
 * (LldpPortNumber), and so is tried last, in that order. Undefined where nothing fits.
 */
export function interfaceOf(
  number: number,
  localPorts: ReadonlyMap<number, LocalPort>,
  interfaces: ReadonlyMap<number, Interface>,
  basePorts: ReadonlyMap<number, number>,
): Interface | undefined {
  const local = localPorts.get(number);
  const all = [...interfaces.values()];
  const one = (fits: (candidate: Interface) => boolean): Interface | undefined => {
    const fitting = all.filter(fits);
    return fitting.length === 1 ? fitting[0] : undefined;
  };
  const named = (text: string | undefined) =>
    text === undefined || text === ''
      ? undefined
      : (one(({ ifName }) => ifName === text) ?? one(({ ifDescr }) => ifDescr === text));
  return (
    byId(local, named, one, interfaces) ??
    named(local?.description) ??
    one(({ ifAlias }) => ifAlias !== undefined && ifAlias === local?.description) ??
    interfaces.get(basePorts.get(number) ?? Number.NaN) ??
    interfaces.get(number)
  );
}

function byId(
  local: LocalPort | undefined,
  named: (text: string | undefined) => Interface | undefined,
  one: (fits: (candidate: Interface) => boolean) => Interface | undefined,
  interfaces: ReadonlyMap<number, Interface>,
): Interface | undefined {
  const { subtype, id } = local?.id ?? {};
  switch (subtype) {
    case 'interfaceName':
      return named(id);
    case 'interfaceAlias':
      return one(({ ifAlias }) => ifAlias === id) ?? named(id);
    case 'macAddress':
      return one(({ mac }) => mac === id);
    case 'local':
      // Many devices put the ifIndex there as text (common practice, no source).
      return named(id) ?? (/^\d{1,9}$/.test(id ?? '') ? interfaces.get(Number(id)) : undefined);
    default:
      return undefined;
  }
}
