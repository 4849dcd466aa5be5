import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { devicesThatFit, fitOfCandidate, nameOfCandidate } from '../../src/identity/fit.js';
import type { PlannedIdentity } from '../../src/plan/model.js';
import { aDevice, aPlan } from '../support/evidence.js';

const pattern = fc.constantFrom(undefined, '', 'vault-1', 'VAULT-2', 'vault*', '*');
const identity: fc.Arbitrary<PlannedIdentity> = fc
  .record({ sysName: pattern, serial: pattern })
  .map(({ sysName, serial }) => ({ sysName, serial }));
const said = fc.record({
  sysName: fc.constantFrom(undefined, 'vault-1', 'vault-2', 'press'),
  serials: fc.constantFrom(undefined, [], ['vault-2', 'vault-1'], ['x']),
});

describe('devices that fit what was said', () => {
  it('are those that a search through every device finds, in the order of the plan', () => {
    fc.assert(
      fc.property(fc.array(fc.tuple(identity, identity), { maxLength: 6 }), said, (stated, snmp) => {
        const plan = aPlan({
          devices: stated.map(([own, a], index) =>
            aDevice(`device-${index}`, { identity: own, controllers: index % 2 === 0 ? { A: a } : {} }),
          ),
        });
        const expected = plan.devices.flatMap((device) => {
          const controller = 'A' in device.controllers ? 'A' : undefined;
          const { fits, mismatches } = fitOfCandidate(device, controller, { snmp });
          return fits.length > 0 && mismatches.length === 0
            ? [nameOfCandidate({ device: device.name, controller })]
            : [];
        });
        expect(devicesThatFit(plan, { snmp }).map(nameOfCandidate)).toEqual(expected);
      }),
    );
  });
});
