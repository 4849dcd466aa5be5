/** What really stands at each address of the site: the plan, with faults planted. src/demo/planted.ts says which. */
import { ADDRESS, type DemoEndpoint, type DemoPorts, MAC, vlanOf } from './layout.js';
import type { DemoAgentFacts, DemoPort } from './snmp-mib.js';
import type { WebPage } from './web-server.js';

/** The services of one address. What is absent is not there: the port refuses. */
export interface DemoHost {
  readonly at: DemoEndpoint;
  readonly http?: WebPage | undefined;
  readonly https?: (WebPage & { readonly certificate: string }) | undefined;
  /** Comment of the SSH identification line. */
  readonly ssh?: string | undefined;
  readonly snmp?: DemoAgentFacts | undefined;
  /** Name of an iSCSI target, or `mute`: takes connections and says nothing. */
  readonly iscsi?: { readonly name: string; readonly portals: readonly string[] } | 'mute' | undefined;
}

export function hostsOf(ports: DemoPorts): DemoHost[] {
  return [...vaults(ports), ...switches(), ...press(), power()];
}

function vaults(ports: DemoPorts): DemoHost[] {
  const controller = (at: DemoEndpoint, vault: 1 | 2, letter: 'a' | 'b'): DemoHost => {
    const name = `vault-${vault}-${letter}`;
    const own = letter === 'a' ? 'A' : 'B';
    const data0 = `vault-${vault}/${own}/data0` as const;
    return {
      at,
      https: {
        title: `vault-${vault}, controller ${letter.toUpperCase()}`,
        certificate: `${name}.harbour.example`,
        redfish: { uuid: `00000000-0000-4000-8000-0000000000${vault}${letter}`, product: 'Demo array' },
      },
      ssh: name,
      snmp: {
        sysName: name,
        sysDescr: 'Demo array controller',
        serial: `HL-V${vault}`,
        ports: [
          // The MAC is the controller's, the address the one that it was given.
          portOf(1, 'mgmt', `vault-${vault}/${own}/mgmt`, 1_000, at),
          portOf(2, 'data0', data0, 10_000),
        ],
      },
    };
  };
  const data = (at: DemoEndpoint, vault: 1 | 2): DemoHost => ({
    at,
    iscsi: {
      name: `iqn.2026-01.example.harbour:vault-${vault}`,
      portals: (['A', 'B'] as const).map(
        (letter, index) => `${ADDRESS[`vault-${vault}/${letter}/data0`]}:${ports.iscsi},${index + 1}`,
      ),
    },
  });
  return [
    controller('vault-1/A/mgmt', 1, 'a'),
    // vault-1/B/mgmt: nothing stands there.
    data('vault-1/A/data0', 1),
    { at: 'vault-1/B/data0', iscsi: 'mute' },
    // The two controllers were given each other's address.
    controller('vault-2/A/mgmt', 2, 'b'),
    controller('vault-2/B/mgmt', 2, 'a'),
    data('vault-2/A/data0', 2),
    data('vault-2/B/data0', 2),
  ];
}

function switches(): DemoHost[] {
  const ethernet = (index: number): DemoPort => ({
    index,
    name: `${index}`,
    mac: `00:00:5e:00:53:${(0xa0 + index).toString(16)}`,
    up: true,
    speedMbps: index > 10 ? 10_000 : 1_000,
  });
  const facts = (name: string, learnt: readonly (readonly [DemoEndpoint, number])[]): DemoAgentFacts => ({
    sysName: name,
    sysDescr: 'Demo switch, 16 ports',
    serial: name.toUpperCase(),
    ports: Array.from({ length: 16 }, (_, index) => ethernet(index + 1)),
    forwarding: learnt.map(([endpoint, port]) => ({ mac: MAC[endpoint], port, vlan: vlanOf(endpoint) })),
  });
  const page = (name: string) => ({ title: name, certificate: `${name}.harbour.example` });
  return [
    {
      at: 'loft-switch-1/mgmt',
      https: page('loft-switch-1'),
      ssh: 'loft-switch-1',
      snmp: facts('loft-switch-1', [
        ['vault-1/A/mgmt', 1],
        ['vault-2/A/mgmt', 2],
        ['press-1/mgmt', 3],
        ['power-1/mgmt', 4],
        ['vault-1/A/data0', 11],
        // Two cables in each other's place; everything answers all the same.
        ['vault-2/A/data0', 13],
        ['press-1/h0', 12],
        // Across the cable between the switches, which carries the management network.
        ['loft-switch-2/mgmt', 16],
        ['vault-2/B/mgmt', 16],
      ]),
    },
    {
      at: 'loft-switch-2/mgmt',
      https: page('loft-switch-2'),
      // ssh is planned and switched off.
      snmp: facts('loft-switch-2', [
        ['vault-2/B/mgmt', 2],
        ['vault-1/B/data0', 11],
        ['vault-2/B/data0', 12],
        ['press-1/h1', 13],
        ['loft-switch-1/mgmt', 16],
        ['vault-1/A/mgmt', 16],
        ['vault-2/A/mgmt', 16],
        ['press-1/mgmt', 16],
        ['power-1/mgmt', 16],
      ]),
    },
  ];
}

function press(): DemoHost[] {
  return [
    {
      at: 'press-1/mgmt',
      https: { title: 'press-1', certificate: 'press-1.harbour.example' },
      ssh: 'press-1',
      snmp: {
        sysName: 'press-1',
        sysDescr: 'Demo host',
        serial: 'HL-P1',
        ports: [
          portOf(1, 'lan-1', 'press-1/mgmt', 1_000),
          portOf(3, 'side-1', 'press-1/h0', 10_000),
          // Planned 10G, came up slow.
          portOf(4, 'side-2', 'press-1/h1', 1_000),
        ],
      },
    },
    { at: 'press-1/h0', ssh: 'press-1' },
    { at: 'press-1/h1', ssh: 'press-1' },
  ];
}

function power(): DemoHost {
  return { at: 'power-1/mgmt', http: { title: 'power-1, rack R3' } };
}

/** A port as its own agent tells it. `addressOf`: the endpoint whose planned address it has. */
function portOf(
  index: number,
  name: string,
  at: DemoEndpoint,
  speedMbps: number,
  addressOf: DemoEndpoint = at,
): DemoPort {
  return { index, name, mac: MAC[at], up: true, speedMbps, address: ADDRESS[addressOf] };
}
