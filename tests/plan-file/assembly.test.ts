import { expect, test } from 'vitest';
import { errorsOf, lines, load, loadGood } from './helpers.js';

const list = (...rows: string[]) => ({
  'list.csv': ['device,controller,port,role,network,address,group,media,snmp', ...rows].join('\n'),
});
const networksOf = (plan: { networks: readonly { name: string; cidr?: string | undefined }[] }) =>
  plan.networks.map((network) => [network.name, network.cidr]);

test('networks come from names and prefixes where none are listed', async () => {
  const plan = await loadGood(
    list(
      'v,A,mgmt,,mgmt,192.0.2.11/24,,,',
      'v,B,mgmt,,mgmt,192.0.2.12,,,',
      'v,A,d0,,,198.51.100.11/25,,,',
      'v,B,d0,,,198.51.100.12,,,',
      'w,,mgmt,,,192.0.2.13/24,,,',
      'v,A,fc0,,fabric-a,,,fc,',
    ),
    'list.csv',
  );
  expect(networksOf(plan)).toEqual([
    ['mgmt', '192.0.2.0/24'],
    ['fabric-a', undefined],
    ['198.51.100.0/25', '198.51.100.0/25'],
  ]);
  expect(plan.networks.every((network) => network.inferred && !network.routed)).toBe(true);
  expect(plan.endpoints.map((one) => one.network)).toEqual([
    'mgmt',
    'mgmt',
    '198.51.100.0/25',
    '198.51.100.0/25',
    'mgmt',
    'fabric-a',
  ]);
});

test('a row whose prefix disagrees keeps it, and the network is what most rows say', async () => {
  const plan = await loadGood(
    list('v,A,m,,mgmt,192.0.2.11/24,,,', 'v,B,m,,mgmt,192.0.2.12/25,,,', 'w,A,m,,mgmt,192.0.2.13/24,,,'),
    'list.csv',
  );
  expect(networksOf(plan)).toEqual([['mgmt', '192.0.2.0/24']]);
  expect(plan.endpoints.map((one) => one.prefixBits)).toEqual([24, 25, 24]);
});

test('two families under one name are two networks', async () => {
  const plan = await loadGood(
    list('v,A,m,,mgmt,192.0.2.11/24,,,', 'v,A,m6,,mgmt,2001:db8::b/64,,,'),
    'list.csv',
  );
  expect(networksOf(plan)).toEqual([
    ['mgmt', '192.0.2.0/24'],
    ['2001:db8::/64', '2001:db8::/64'],
  ]);
  expect(plan.endpoints.map((one) => one.network)).toEqual(['mgmt', '2001:db8::/64']);
});

test('an address without a network name goes to the longest prefix that holds it (RFC 4632 §5.1)', async () => {
  const yaml =
    'plan: 1\nnetworks:\n  - { name: wide, cidr: 192.0.2.0/24 }\n  - { name: narrow, cidr: 192.0.2.64/26 }\nendpoints: list.csv\n';
  const plan = await loadGood(
    {
      'plan.yaml': yaml,
      ...list('v,A,m,,,192.0.2.70,,,', 'v,B,m,,,192.0.2.7,,,', 'v,C,m,,,198.51.100.7,,,'),
    },
    'plan.yaml',
  );
  expect(plan.endpoints.map((one) => one.network)).toEqual(['narrow', 'wide', undefined]);
});

test('a network written with host bits is read as its block, and that is said', async () => {
  const yaml =
    'plan: 1\nnetworks:\n  - { name: mgmt, cidr: 192.0.2.1/24, reserved: [192.0.2.0/30, 192.0.2.9] }\nendpoints: list.csv\n';
  const loaded = await load({ 'plan.yaml': yaml, ...list('v,A,m,,mgmt,192.0.2.70,,,') }, 'plan.yaml');
  expect(lines(loaded.issues)).toEqual([
    'plan.yaml, line 3, networks[0].cidr: "192.0.2.1/24" was read as the network 192.0.2.0/24',
  ]);
  expect(loaded.ok && loaded.plan.networks[0]?.reserved).toEqual([
    { first: '192.0.2.0', last: '192.0.2.3' },
    { first: '192.0.2.9', last: '192.0.2.9' },
  ]);
});

test('a network whose size nobody says is noted', async () => {
  const loaded = await load(list('v,A,m,,mgmt,192.0.2.70,,,', 'v,B,m,,mgmt,192.0.2.71,,,'), 'list.csv');
  expect(lines(loaded.issues)).toEqual([
    'list.csv, row 2, column "address": nothing says how large the network "mgmt" is; write one of its addresses with a prefix, as 192.0.2.70/24',
  ]);
});

test('the role of a port called mgmt is management, of any other unknown', async () => {
  const plan = await loadGood(
    list(
      'v,A,mgmt,,,192.0.2.1/24,,,',
      'v,A,Mgmt0,,,192.0.2.2/24,,,',
      'v,A,e0,,,192.0.2.3/24,,,',
      'v,A,mgmt-b,data,,192.0.2.4/24,,,',
    ),
    'list.csv',
  );
  expect(plan.endpoints.map((one) => one.role)).toEqual(['management', 'management', 'other', 'data']);
});

test('groups named only in the list need one path and must not share controller or switch', async () => {
  const plan = await loadGood(
    list('v,A,d,data,,192.0.2.1/24,v data,,', 'v,B,d,data,,192.0.2.2/24,v data,,'),
    'list.csv',
  );
  expect(plan.groups).toMatchObject([
    {
      name: 'v data',
      need: 1,
      independent: ['controller', 'switch'],
      members: ['v/A/d', 'v/B/d'],
      inferred: false,
    },
  ]);
});

test('an endpoint that stands twice is refused, with the first place named', async () => {
  const loaded = await load(list('v,A,m,,,192.0.2.1/24,,,', 'v,A,m,,,192.0.2.2/24,,,'), 'list.csv');
  expect(lines(loaded.issues)).toEqual([
    'list.csv, row 3, column "port": the endpoint "v/A/m" stands twice in the plan (first in list.csv row 2)',
  ]);
});

test('two different endpoints cannot get one id', async () => {
  const loaded = await load(list('v,A,m,,,192.0.2.1/24,,,', 'v,,A/m,,,192.0.2.2/24,,,'), 'list.csv');
  expect(errorsOf(loaded.issues).map((issue) => issue.code)).toEqual(['duplicate-endpoint']);
});

test('what a plan points at has to be there', async () => {
  const yaml = `plan: 1
devices:
  - { name: vault-1, snmp: site-r0, controllers: { C: { serial: "7" } } }
  - { name: vault-1 }
groups:
  - { name: data }
  - { name: paths, from: press-2, to: dta }
  - { name: half, from: press-1 }
snmp:
  site-ro: { version: 3, level: authPriv, authKey: "env:A" }
availability:
  - { kind: switch }
  - { kind: switch, value: 0.9, mtbf-hours: 7 }
endpoints:
  - { device: vault-1, controller: A, port: d0, address: 192.0.2.1/24, group: data }
  - { device: press-1, port: h0, address: 192.0.2.2/24, role: host }
`;
  const loaded = await load({ 'plan.yaml': yaml }, 'plan.yaml');
  expect(lines(errorsOf(loaded.issues))).toEqual([
    'plan.yaml, line 4, devices[1]: the name "vault-1" is taken already (devices[0])',
    'plan.yaml, line 3, devices[0].controllers.C: the device has no endpoint on controller "C" (it has A)',
    'plan.yaml, line 7, groups[1].from: the plan has no device "press-2" (it has vault-1, press-1); did you mean "press-1"?',
    'plan.yaml, line 7, groups[1].to: the plan has no group "dta" (it has data, half); did you mean "data"?',
    'plan.yaml, line 8, groups[2]: a group has both "from" and "to" or neither, "to" is missing',
    'plan.yaml, line 10, snmp.site-ro: nothing here, expected the key "user", which SNMP version 3 needs here',
    'plan.yaml, line 10, snmp.site-ro: nothing here, expected the key "privKey", which SNMP version 3 needs here',
    'plan.yaml, line 3, snmp: the plan has no such credential under snmp "site-r0" (it has site-ro); did you mean "site-ro"?',
    'plan.yaml, line 12, availability[0]: expected either "value", or both "mtbf-hours" and "mttr-hours"',
    'plan.yaml, line 13, availability[1]: expected either "value", or both "mtbf-hours" and "mttr-hours"',
  ]);
});

test('A = MTBF / (MTBF + MTTR) (from memory)', async () => {
  const yaml =
    'plan: 1\navailability:\n  - { kind: switch, mtbf-hours: 999, mttr-hours: 1 }\n  - { kind: feed, name: A, value: 99.95% }\nendpoints: list.csv\n';
  const plan = await loadGood({ 'plan.yaml': yaml, ...list('v,A,m,,,192.0.2.1/24,,,') }, 'plan.yaml');
  expect(plan.availability.map((one) => [one.kind, one.name, one.value])).toEqual([
    ['switch', undefined, 0.999],
    ['feed', 'A', 0.9995],
  ]);
});

test('inline keys match as headers do; an unknown one is kept, said once, with the nearest', async () => {
  const yaml = `plan: 1
endpoints:
  - { device: v, port: a, address: 192.0.2.1/24, switch-port: 1/0/1, defaultAddress: 203.0.113.1, contoller: A, mac: 00005e005301 }
  - { device: v, port: b, address: 192.0.2.2/24, switch_port: 1/0/2, contoller: B }
`;
  const loaded = await load({ 'plan.yaml': yaml }, 'plan.yaml');
  expect(lines(loaded.issues)).toEqual([
    'plan.yaml, line 3, endpoints[0].contoller: unknown column "contoller", kept as a note; did you mean "controller"?',
  ]);
  expect(
    loaded.ok && loaded.plan.endpoints.map((one) => [one.switchPort, one.defaultAddress, one.mac, one.extra]),
  ).toEqual([
    ['1/0/1', '203.0.113.1', '00:00:5e:00:53:01', { contoller: 'A' }],
    ['1/0/2', undefined, undefined, { contoller: 'B' }],
  ]);
});

test('JSON is read as YAML is, with its lines', async () => {
  const good = {
    plan: 1,
    endpoints: [{ device: 'v', port: 5, address: '192.0.2.1/24', virtual: true, mtu: 9000 }],
  };
  const plan = await loadGood({ 'plan.json': JSON.stringify(good) }, 'plan.json');
  expect(plan.endpoints[0]).toMatchObject({ id: 'v/5', virtual: true, mtu: 9000 });
  const bad =
    '{\n "plan": 1,\n "endpoints": [\n  { "device": "v", "port": "p",\n    "address": "x" }\n ]\n}\n';
  expect(lines((await load({ 'plan.json': bad }, 'plan.json')).issues)).toEqual([
    'plan.json, line 5, endpoints[0].address: found "x", expected an IPv4 or IPv6 address',
  ]);
});

test('every file read stands in the plan with its digest', async () => {
  const yaml = 'plan: 1\nendpoints: list.csv\n';
  const plan = await loadGood({ 'plan.yaml': yaml, ...list('v,A,m,,,192.0.2.1/24,,,') }, 'plan.yaml');
  expect(plan.files.map((file) => file.name)).toEqual(['plan.yaml', 'list.csv']);
  // sha256sum of the bytes of `yaml`.
  expect(plan.files[0]?.sha256).toBe('7981b0bbae35a1f65ee6642df008245aba8df7558a6bdf4af36f6fc2abe24085');
});
