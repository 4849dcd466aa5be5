/** The equipment as it was found: one row a controller (or device), for the handover and for the comparison a year later (DESIGN 7). */
import type { EndpointResult, EquipmentResult, Matrix, PlanModel } from '../matrix/matrix.js';

/** The equipment as the result has it; a result of an older version has none, and it is made from what was seen. */
export function equipmentRecord(
  matrix: Pick<Matrix, 'equipment' | 'endpoints' | 'plan'>,
): readonly EquipmentResult[] {
  return matrix.equipment.length > 0 ? matrix.equipment : equipmentOf(matrix.plan.model, matrix.endpoints);
}

export function equipmentOf(
  plan: Pick<PlanModel, 'devices'>,
  endpoints: readonly EndpointResult[],
): EquipmentResult[] {
  return plan.devices.flatMap((device) => {
    const own = endpoints.filter((one) => one.device === device.name);
    const parts = [...new Set(own.map(({ controller }) => controller))];
    return (parts.length === 0 ? [''] : parts).map((controller): EquipmentResult => {
      const ports = own.filter((one) => one.controller === controller);
      // What another device says at these addresses is not this equipment.
      const shown = ports.filter(
        ({ facts }) => !facts.some(({ fact, state }) => fact === 'box' && state === 'differs'),
      );
      const told = shown.flatMap(({ sightings }) => sightings.map(({ identity }) => identity));
      return {
        device: device.name,
        controller,
        rack: device.rack ?? '',
        units:
          device.units === undefined
            ? ''
            : device.units.from === device.units.to
              ? `${device.units.from}`
              : `${device.units.from}-${device.units.to}`,
        serials: unique(told.flatMap(({ snmp }) => snmp?.serials ?? [])),
        software: unique(told.flatMap(({ snmp }) => snmp?.software ?? [])).join(', '),
        macs: unique(
          shown.flatMap(({ sightings, verdict }) =>
            verdict === 'missing' ? [] : sightings.flatMap(({ macs }) => macs),
          ),
        ),
        addresses: unique(
          ports.flatMap(({ address, verdict }) => (address === '' || verdict === 'missing' ? [] : [address])),
        ),
      };
    });
  });
}

function unique(values: readonly string[]): string[] {
  return [...new Set(values.filter((value) => value !== ''))];
}
