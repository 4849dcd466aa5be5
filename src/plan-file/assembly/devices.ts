/** Devices as listed, and those that only the endpoints name. */
import type { Device, Endpoint } from '../../plan/model.js';
import { nearestWord } from '../../text/nearest.js';
import type { Issues } from '../issues.js';
import type { WrittenDevice } from '../schema.js';
import { namesList } from './names.js';
import type { Locate } from './networks.js';

export function listedDevices(written: readonly WrittenDevice[], locate: Locate, issues: Issues): Device[] {
  const seen = new Map<string, number>();
  return written.flatMap((device, index) => {
    const at = locate(['devices', index]);
    const first = seen.get(device.name);
    if (first !== undefined) {
      issues.error('duplicate-name', at, { found: device.name, expected: `devices[${first}]` });
      return [];
    }
    seen.set(device.name, index);
    return [
      {
        name: device.name,
        rack: device.rack,
        units: device.units,
        feeds: device.feeds ?? [],
        defaultAddresses: device['default-addresses'] ?? [],
        macPrefixes: device['mac-prefixes'] ?? [],
        identity: device.identity ?? {},
        controllers: device.controllers ?? {},
        snmp: device.snmp,
        existing: device.existing ?? false,
        inferred: false,
        at,
      },
    ];
  });
}

/** Adds a device for each name that only rows have. Where the plan does list devices, that is worth a note. */
export function withInferredDevices(
  listed: readonly Device[],
  endpoints: readonly Endpoint[],
  issues: Issues,
): Device[] {
  const devices = new Map(listed.map((device) => [device.name, device]));
  const listedNames = [...devices.keys()];
  for (const { device: name, at } of endpoints) {
    if (devices.has(name)) continue;
    devices.set(name, {
      name,
      feeds: [],
      defaultAddresses: [],
      macPrefixes: [],
      identity: {},
      controllers: {},
      existing: false,
      inferred: true,
      at,
    });
    if (listed.length > 0)
      issues.note(
        'device-not-listed',
        { ...at, column: 'device' },
        { found: name, nearest: nearestWord(name, listedNames) },
      );
  }
  return [...devices.values()];
}

/** A controller that the plan describes and no endpoint has is most likely misspelt. */
export function checkControllers(
  listed: readonly WrittenDevice[],
  endpoints: readonly Endpoint[],
  locate: Locate,
  issues: Issues,
): void {
  listed.forEach((device, index) => {
    const own = endpoints.filter((endpoint) => endpoint.device === device.name);
    const known = [...new Set(own.flatMap((endpoint) => endpoint.controller ?? []))];
    for (const name of Object.keys(device.controllers ?? {})) {
      if (own.length === 0 || known.includes(name)) continue;
      issues.error('unknown-controller', locate(['devices', index, 'controllers', name]), {
        found: name,
        expected: namesList(known),
        nearest: nearestWord(name, known),
      });
    }
  });
}
