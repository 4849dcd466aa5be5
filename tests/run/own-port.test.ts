import { expect, it } from 'vitest';
import { ownPortNotes } from '../../src/run/own-port.js';

const BARE = {
  localPort: 'eth0',
  chassisId: '00:00:5e:00:53:01',
  chassisIdSubtype: 'mac-address',
  portId: 'swp7',
  portIdSubtype: 'interface-name',
  managementAddresses: [],
};

it("says which port of which device the laptop's cable ends in, with its VLAN where that is told", () => {
  expect(
    ownPortNotes([
      { ...BARE, portDescription: 'rack 3 left', sysName: 'loft-switch', vlan: 10 },
      { ...BARE, portDescription: 'swp7' },
    ]),
  ).toEqual([
    "This laptop's eth0 is cabled to port swp7 (rack 3 left) of loft-switch, VLAN 10, as loft-switch says by LLDP.",
    "This laptop's eth0 is cabled to port swp7 of 00:00:5e:00:53:01, as 00:00:5e:00:53:01 says by LLDP.",
  ]);
  expect(ownPortNotes([])).toEqual([]);
});
