/** One invented case for each rule of the plan, for `explain`. Documentation addresses and MACs; a rule without one does not compile. */
import type { FactsOf } from '../index.js';
import type { PLAN_RULES } from '../plan.js';

export const PLAN_EXAMPLES: { readonly [Code in keyof typeof PLAN_RULES]: FactsOf<Code> } = {
  'address-duplicate': {
    address: '192.0.2.11',
    endpoints: ['vault-1/A/mgmt', 'vault-2/A/mgmt'],
    kind: 'clash',
  },
  'address-outside-network': {
    endpoint: 'vault-1/A/data0',
    address: '203.0.113.11',
    network: { name: 'data-a', cidr: '198.51.100.0/25' },
  },
  'address-reserved': {
    what: 'vault-1/A/mgmt (192.0.2.5)',
    range: '192.0.2.1-192.0.2.9',
    purpose: 'the routers of the site',
    source: 'the network mgmt',
    kind: 'plan',
  },
  'address-is-network-or-broadcast': {
    endpoint: 'vault-1/A/mgmt',
    address: '192.0.2.255',
    cidr: '192.0.2.0/24',
    kind: 'broadcast',
  },
  'address-is-gateway': {
    endpoint: 'vault-1/A/mgmt',
    address: '192.0.2.1',
    network: 'mgmt',
    maybeRouter: false,
  },
  'mac-duplicate': {
    mac: '00:00:5e:00:53:11',
    endpoints: ['vault-1/A/mgmt', 'vault-1/B/mgmt'],
    sameBox: false,
  },
  'mac-invalid': { endpoint: 'vault-1/A/mgmt', mac: '00:00:00:00:00:00', kind: 'zero' },
  'wwpn-duplicate': {
    portName: '10:00:00:00:5e:00:53:01',
    endpoints: ['vault-1/A/fc0', 'vault-1/B/fc0'],
    sameDevice: true,
  },
  'default-address-shared': { address: '192.0.2.200', owners: ['vault-1', 'vault-2'], network: 'mgmt' },
  'default-address-in-network': {
    address: '192.0.2.200',
    owners: ['vault-1'],
    network: 'mgmt',
    holders: [],
    kind: 'free',
  },
  'rack-units-overlap': { rack: 'R3', devices: ['vault-1', 'press-1'], units: '12-13' },
  'feeds-not-redundant': { device: 'vault-1', feeds: ['A'], controllers: 2 },
  'switch-port-duplicate': {
    switch: 'loft-switch-1',
    port: '1/7',
    endpoints: ['vault-1/A/data0', 'press-1/h0'],
  },
  'literal-secret': { credential: 'site-ro', keys: ['community'] },
  'feeds-unequal': {
    devices: [
      { name: 'loft-switch-1', feeds: ['A'] },
      { name: 'loft-switch-2', feeds: ['A'] },
    ],
    how: 'shared',
  },
  'controllers-without-group': { device: 'vault-1', controllers: ['A', 'B'] },
  'networks-overlap': {
    first: { name: 'mgmt', cidr: '192.0.2.0/24' },
    second: { name: 'lab', cidr: '192.0.2.128/25' },
    same: false,
  },
  'gateway-outside-network': {
    network: 'mgmt',
    cidr: '192.0.2.0/25',
    gateway: '192.0.2.254',
    kind: 'outside',
  },
  'no-gateway-in-routed-network': { network: 'mgmt', cidr: '192.0.2.0/24', endpoints: 8 },
  'vlan-duplicate': { vlan: 21, networks: ['data-a', 'data-b'] },
  'not-enough-addresses': {
    network: 'mgmt',
    cidr: '192.0.2.0/29',
    needed: 8,
    usable: 6,
    taken: 2,
    prefixBits: 28,
  },
  'mask-mismatch': {
    what: 'prefix',
    network: 'mgmt',
    expected: '/24',
    by: 'network',
    odd: [{ value: '/25', endpoints: ['vault-1/A/mgmt'] }],
  },
  'mtu-mismatch-in-network': {
    place: 'data-a',
    kind: 'network',
    problem: 'differ',
    holders: [
      { value: '9000', endpoints: ['vault-1/A/data0'] },
      { value: '1500', endpoints: ['press-1/h0'] },
    ],
  },
  'management-apart': {
    kind: 'device',
    subject: 'vault-1',
    networks: ['mgmt', 'mgmt-2'],
    devices: ['vault-1'],
    unrouted: ['mgmt-2'],
  },
  'nothing-to-check': { device: 'vault-1', endpoints: ['vault-1/A/mgmt'] },
};
