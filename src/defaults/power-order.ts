import type { View } from '../evidence/view.js';
import { type Finding, finding } from '../findings/index.js';
import { commandWord } from '../text/command-word.js';
import { naturalOrder } from '../text/sentence.js';
import { type DefaultSeen, indexDefaults } from './defaults-seen.js';

/**
 * Several devices that come up on one default: an order to power them on. A device with fewer defaults than ports that use them
 * has its controllers on one address (common practice, standards part 11), so each of its ports is a step of its own.
 */
export function powerOrder(view: View, defaults: readonly DefaultSeen[]): Finding[] {
  const planFile = view.plan.files[0]?.name ?? 'PLAN';
  const index = indexDefaults(defaults);
  return defaults.flatMap((seen) => {
    if (seen.endpoints.length < 2) return [];
    const steps = seen.devices
      .filter((device) => view.lookedAt(device))
      .sort(naturalOrder)
      .flatMap((device) => {
        const ports = seen.endpoints.filter((endpoint) => endpoint.device === device);
        const command = `matchmark check ${commandWord(planFile, 'PLAN')} --stage power-on --only ${commandWord(device, 'DEVICE')}`;
        const addresses = new Set(ports.flatMap(({ id }) => index.of(id))).size;
        return ports.length > addresses
          ? ports.map(({ id }) => ({ name: id, command }))
          : [{ name: device, command }];
      });
    if (steps.length < 2) return [];
    return [
      finding(
        'default-power-order',
        seen.address,
        {
          address: seen.address,
          network: view.networkAt(seen.address)?.name,
          devices: steps.map(({ name }) => name),
          commands: steps.map(({ name, command }) => `${name}: ${command}`),
        },
        { about: seen.endpoints.map(({ id }) => id) },
      ),
    ];
  });
}
