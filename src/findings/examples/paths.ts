/** One invented case for each rule of links, cables, redundancy and pull tests, for `explain`. A rule without one does not compile. */
import type { CABLING_RULES } from '../cabling.js';
import type { DRILL_RULES } from '../drill.js';
import type { FactsOf } from '../index.js';
import type { LINK_RULES } from '../link.js';
import type { REDUNDANCY_RULES } from '../redundancy.js';

type Rules = typeof CABLING_RULES & typeof LINK_RULES & typeof REDUNDANCY_RULES & typeof DRILL_RULES;

const PORT_NAME = '20:00:00:00:00:00:53:0a';

export const PATH_EXAMPLES: { readonly [Code in keyof Rules]: FactsOf<Code> } = {
  'link-down': {
    endpoint: 'vault-1/B/data0',
    port: '1/7',
    state: 'down',
    by: 'switch loft-switch-1',
    switchedOff: false,
  },
  'speed-below-plan': {
    endpoint: 'vault-1/A/data0',
    plannedMbps: 10_000,
    measuredMbps: 1000,
    by: 'switch loft-switch-1',
  },
  'mtu-below-plan': {
    endpoint: 'vault-1/A/data0',
    planned: 9000,
    measured: 1500,
    told: 'silent',
    by: 'echo from laptop',
  },
  'wrong-switch-port': {
    endpoint: 'vault-1/A/data0',
    planned: 'loft-switch-1 port 1/7',
    measured: 'loft-switch-1 port 1/8',
    by: 'forwarding table of loft-switch-1',
    swappedWith: 'press-1/h0',
  },
  'portal-missing': {
    endpoint: 'vault-1/B/data0',
    portal: '198.51.100.12:3260',
    listed: ['198.51.100.11:3260'],
  },
  'portal-unplanned': {
    device: 'vault-1',
    portals: [{ portal: '192.0.2.11:3260', network: 'mgmt', keptFor: [], plannedFor: undefined }],
  },
  'portal-link-local': { device: 'vault-1', portals: ['[fe80::1]:3260'] },
  'link-member-down': {
    endpoint: 'vault-1/A/data0',
    down: [{ switch: 'loft-switch-2', port: '1/7' }],
    members: 2,
  },
  'vlan-differs': {
    subject: 'vault-1/A/data0',
    endpoints: ['vault-1/A/data0'],
    network: 'data-a',
    planned: 21,
    measured: [1],
    by: 'loft-switch-1',
  },
  'wrong-fabric': {
    endpoint: 'vault-1/A/fc0',
    planned: 'light-1 port 4',
    plannedFabric: 'fabric-1',
    measured: 'light-2 port 4',
    measuredFabric: 'fabric-2',
    swappedWith: undefined,
  },
  'login-missing': { endpoint: 'vault-1/A/fc0', portName: PORT_NAME, switches: ['light-1', 'light-2'] },
  'port-name-twice': {
    endpoint: 'vault-1/A/fc0',
    portName: PORT_NAME,
    places: ['light-1 port 4', 'light-2 port 4'],
  },
  'power-supply-down': {
    device: 'vault-1',
    down: ['supply 2'],
    working: 1,
    planned: 2,
    feeds: ['A', 'B'],
    by: 'vault-1',
  },
  'power-supply-missing': { device: 'vault-1', present: 1, planned: 2, feeds: ['A', 'B'], by: 'vault-1' },
  'group-not-independent': {
    group: 'vault-1 data',
    things: ['switch loft-switch-1'],
    promised: true,
    inferred: false,
  },
  'group-single-path': { group: 'vault-1 data', planned: 1, need: 1, paths: ['vault-1/A/data0'] },
  'too-many-paths': { group: 'press-1 to vault-1', paths: 1_000_000, limit: { each: 16_384, sum: 65_536 } },
  'need-not-met-by-plan': { group: 'press-1 to vault-1', planned: 1, need: 2, why: undefined },
  'paths-unequal': {
    group: 'vault-1 data',
    measured: true,
    speeds: [
      { path: 'vault-1/A/data0', mbps: 1000 },
      { path: 'vault-1/B/data0', mbps: 10_000 },
    ],
  },
  'path-missing': { group: 'vault-1 data', path: 'vault-1/B/data0', live: 1, planned: 2, need: 1 },
  'single-point': {
    group: 'vault-1 data',
    things: ['switch loft-switch-1'],
    origin: 'site',
    live: 2,
    need: 1,
  },
  'group-lost': { group: 'press-1 to vault-1', live: 0, planned: 2, need: 1 },
  'drill-lost': {
    group: 'vault-1 data',
    pulled: 'switch loft-switch-1',
    by: 'R. Vance',
    longest: { endpoint: 'vault-1/A/data0', seconds: '12.4' },
    known: false,
  },
  'drill-not-noticed': {
    group: 'vault-1 data',
    pulled: 'cable vault-1/A/data0',
    by: 'R. Vance',
    known: false,
  },
};
