/** One invented case for each rule of what was seen on the network, for `explain`. A rule without one does not compile. */
import type { FactsOf } from '../index.js';
import type { SITE_RULES } from '../site.js';

const TAKEN_AT = '2030-01-02T07:04:05.000Z';
const OTHER = '00:00:5e:00:53:77';
const OWN = '00:00:5e:00:53:12';

export const SITE_EXAMPLES: { readonly [Code in keyof typeof SITE_RULES]: FactsOf<Code> } = {
  'duplicate-address': {
    address: '192.0.2.12',
    endpoint: 'vault-1/B/mgmt',
    macs: [OWN, OTHER],
    sure: 'proven',
    owners: [],
  },
  'wrong-device': {
    address: '192.0.2.12',
    endpoint: 'vault-1/B/mgmt',
    mismatches: ['sysName is "vault-1-a", planned "vault-1-b"'],
    isInstead: 'vault-1/A',
    swappedWith: 'vault-1/A/mgmt',
  },
  'proxy-arp': { mac: OTHER, network: 'mgmt', asked: '192.0.2.250', count: 6 },
  stranger: { address: '192.0.2.77', mac: OTHER, network: 'mgmt' },
  'own-address-planned': { address: '192.0.2.12', endpoint: 'vault-1/B/mgmt', vantage: 'bench' },
  'address-taken': { address: '192.0.2.12', endpoint: 'vault-1/B/mgmt', mac: OTHER, says: [] },
  'already-readdressed': {
    address: '192.0.2.12',
    endpoint: 'vault-1/B/mgmt',
    because: ['its MAC is the planned one'],
  },
  'default-address-taken': { address: '192.0.2.200', devices: ['vault-1'], mac: OTHER, says: [] },
  'default-address-clash': {
    address: '192.0.2.200',
    devices: ['vault-1', 'vault-2'],
    macs: [OWN, OTHER],
    sure: 'proven',
    owners: [],
  },
  'default-address-still-answers': {
    address: '192.0.2.200',
    devices: ['vault-1', 'vault-2'],
    mac: OWN,
    suspects: ['vault-1/B/mgmt'],
    because: 'its own address is silent',
  },
  'default-power-order': {
    address: '192.0.2.200',
    network: 'mgmt',
    devices: ['vault-1', 'vault-2'],
    commands: ['matchmark check plan.yaml --stage power-on --only vault-1'],
  },
  'observation-open': { subject: 'vault-1', item: 'power lamp', expect: 'steady green' },
  'observation-differs': {
    subject: 'vault-1',
    item: 'power lamp',
    expect: 'steady green',
    saw: 'blinking amber',
    by: 'R. Vance',
    at: TAKEN_AT,
  },
  'certificate-expired': {
    endpoints: ['vault-1/A/mgmt'],
    subject: 'CN=vault-1-a.example',
    validFrom: '2028-01-01T00:00:00.000Z',
    validTo: '2029-12-31T00:00:00.000Z',
    at: TAKEN_AT,
    how: 'expired',
  },
  'laptop-misplaced': {
    vantage: 'bench',
    networks: [
      {
        network: 'data-a',
        vlan: 21,
        why: 'bench is set for data-a, and nobody there answers, the gateway included',
      },
    ],
  },
  'own-address-taken': { vantage: 'bench', address: '192.0.2.5', macs: [OTHER] },
  'gateway-silent': { network: 'mgmt', gateway: '192.0.2.1', vantage: 'bench' },
  'packets-lost': { endpoint: 'vault-1/A/mgmt', address: '192.0.2.11', sent: 20, received: 17 },
  'vantage-failed': {
    vantage: 'press-1',
    place: 'ssh://root@press-1.example',
    reason: 'it takes no SSH connection',
  },
  'places-disagree': {
    endpoint: 'vault-1/B/data0',
    address: '198.51.100.12',
    differences: [{ what: 'it', answered: ['press-1'], silent: ['press-2'] }],
  },
  'vantage-clock-differs': {
    vantage: 'rack',
    other: 'hall',
    aheadSeconds: 3600,
    by: ['192.0.2.11', '192.0.2.12'],
  },
  'clock-differs': {
    devices: [{ endpoint: 'vault-1/A/mgmt', aheadSeconds: 3600 }],
    laptop: false,
    vantage: 'bench',
  },
  'findings-left-out': { subject: 'vault-1', count: 37 },
  'recently-started': { endpoints: ['vault-1/A/mgmt'], minutes: 4 },
  'device-in-trouble': { endpoint: 'vault-1/A/mgmt', service: 'https', detail: 'status 503' },
  'switch-silent': {
    switch: 'loft-switch-1',
    endpoints: ['vault-1/A/data0', 'vault-2/A/data0'],
    itself: true,
  },
  'answered-by-partner': {
    endpoint: 'vault-1/B/mgmt',
    address: '192.0.2.12',
    sameAs: 'vault-1/A/mgmt',
    by: 'MAC',
    value: OWN,
    sure: true,
  },
  'answers-on-both-ports': {
    address: '198.51.100.11',
    endpoint: 'vault-1/A/data0',
    macs: [OWN, OTHER],
    owner: 'vault-1/A',
  },
  'address-moved': { address: '192.0.2.12', endpoint: 'vault-1/B/mgmt', macs: [OWN, OTHER] },
  'identity-differs': {
    endpoint: 'vault-1/A/mgmt',
    because: ['its serial number'],
    differing: [{ field: 'sysName', planned: 'vault-1-a', measured: 'vault-one' }],
  },
  'endpoint-missing': {
    endpoint: 'vault-1/B/data0',
    address: '198.51.100.12',
    how: 'unclaimed',
    vantage: 'bench',
  },
  'service-missing': {
    endpoint: 'vault-1/B/data0',
    address: '198.51.100.12',
    service: 'iscsi-target',
    port: 3260,
    protocol: 'tcp',
    kind: 'silent',
  },
  'device-answers-nothing': { device: 'vault-1', vantage: 'bench', silent: 6, there: 6, echo: 'silent' },
  'device-answers-no-echo': { device: 'vault-1', addresses: 6 },
  'service-refused': {
    endpoint: 'vault-1/A/mgmt',
    address: '192.0.2.11',
    service: 'https',
    port: 443,
    protocol: 'tcp',
  },
  'service-other': {
    endpoint: 'vault-1/A/mgmt',
    address: '192.0.2.11',
    service: 'ssh',
    port: 22,
    protocol: 'tcp',
  },
  'no-echo': { endpoint: 'vault-1/A/mgmt', address: '192.0.2.11', macs: [OWN] },
  'snmp-no-answer': {
    endpoint: 'vault-1/A/mgmt',
    address: '192.0.2.11',
    credential: 'site-ro',
    outcome: 'no-reply',
    planned: true,
  },
  'credential-not-given': {
    credential: 'site-ro',
    why: 'the variable SITE_SNMP is not set',
    endpoints: ['vault-1/A/mgmt'],
  },
  'survey-new': { address: '192.0.2.77', mac: OTHER, surveyedAt: TAKEN_AT },
  'survey-gone': { address: '192.0.2.77', macs: [OTHER], surveyedAt: TAKEN_AT },
  'survey-moved': { address: '192.0.2.77', before: [OWN], now: [OTHER], surveyedAt: TAKEN_AT },
};
