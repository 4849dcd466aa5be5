/** The plan of the embedded site, as somebody would have written it: a YAML file and an address list beside it. */
import { createHash } from 'node:crypto';
import type { Plan } from '../plan/model.js';
import { readAddressListText } from '../plan-file/address-list.js';
import { assemblePlan } from '../plan-file/assembly/plan.js';
import { Issues } from '../plan-file/issues.js';
import { readPlanText } from '../plan-file/plan-text.js';
import { describeIssue } from '../plan-file/wording.js';
import { ADDRESS, COMMUNITY, type DemoEndpoint, type DemoPorts, MAC, NETWORKS } from './layout.js';

export interface PlanFile {
  readonly name: string;
  readonly text: string;
}

const PLAN_NAME = 'plan.yaml';
const LIST_NAME = 'address-list.csv';

export function planFiles(ports: DemoPorts): readonly [PlanFile, PlanFile] {
  return [
    { name: PLAN_NAME, text: planYaml(ports) },
    { name: LIST_NAME, text: addressList(ports) },
  ];
}

/** Read by the same reader as any plan; nothing of it is made by hand. */
export function readDemoPlan([yaml, list]: readonly [PlanFile, PlanFile]): Plan {
  const issues = new Issues();
  const read = readPlanText(yaml.text, yaml.name, issues);
  const rows = readAddressListText(list.text, list.name, issues);
  const body =
    read?.written === undefined
      ? undefined
      : assemblePlan(
          {
            written: read.written,
            rows,
            rowsComplete: true,
            locate: read.locate,
            directory: '.',
            fallbackName: 'demo',
          },
          issues,
        );
  if (body === undefined || issues.hasErrors)
    throw new Error(`the demo's own plan has errors: ${issues.sorted().map(describeIssue).join('; ')}`);
  return { ...body, files: [yaml, list].map(({ name, text }) => ({ name, sha256: sha256(text) })) };
}

function sha256(text: string): string {
  return createHash('sha256').update(text).digest('hex');
}

function planYaml(ports: DemoPorts): string {
  return `# Harbour Library: an invented site for \`matchmark demo\`. Everything stands on the loopback of one laptop.
plan: 1
site: { name: Harbour Library, reference: DEMO-1 }
networks:
  - { name: mgmt, cidr: ${NETWORKS.mgmt.cidr}, vlan: ${NETWORKS.mgmt.vlan}, reserved: [127.10.1.1-127.10.1.9] }
  - { name: storage-a, cidr: ${NETWORKS['storage-a'].cidr}, vlan: ${NETWORKS['storage-a'].vlan} }
  - { name: storage-b, cidr: ${NETWORKS['storage-b'].cidr}, vlan: ${NETWORKS['storage-b'].vlan} }
  - { name: fabric-1 }
  - { name: fabric-2 }
devices:
  - { name: vault-1, rack: R3, units: 11-13, feeds: [A, B], snmp: demo, controllers: {
        A: { sysName: vault-1-a, certificate: "vault-1-a.*" }, B: { sysName: vault-1-b, certificate: "vault-1-b.*" } } }
  - { name: vault-2, rack: R3, units: 14-16, feeds: [A, B], snmp: demo, controllers: {
        A: { sysName: vault-2-a, certificate: "vault-2-a.*" }, B: { sysName: vault-2-b, certificate: "vault-2-b.*" } } }
  - { name: loft-switch-1, rack: R3, units: 40, feeds: [A, B], snmp: demo, identity: { sysName: "loft-switch-1*" } }
  - { name: loft-switch-2, rack: R3, units: 41, feeds: [A, B], snmp: demo, identity: { sysName: "loft-switch-2*" } }
  - { name: press-1, rack: R3, units: 20-21, feeds: [A, B], snmp: demo, identity: { sysName: "press-1*" } }
  - { name: power-1, rack: R3, units: 1, identity: { title: "power-1*" } }
endpoints: ${LIST_NAME}
groups:
  - { name: vault-1 data, need: 1, independent: [controller, switch, network] }
  - { name: vault-2 data, need: 1, independent: [controller, switch, network] }
  - { name: press-1 to vault-1, from: press-1, to: vault-1 data, need: 1 }
  - { name: press-1 to vault-2, from: press-1, to: vault-2 data, need: 1 }
snmp:
  demo: { version: 2c, community: ${COMMUNITY}, port: ${ports.snmp} }
observe:
  - { subject: vault-1, item: power lamp, expect: steady green }
  - { subject: vault-2, item: power lamp, expect: steady green }
`;
}

interface Row {
  readonly role: string;
  readonly network?: string;
  readonly media?: string;
  readonly services?: string;
  readonly group?: string;
  /** Switch number and port. */
  readonly cable?: readonly [switchNumber: 1 | 2, port: number];
  readonly speed?: string;
  readonly interface?: string;
}

const HEADER =
  'device,controller,port,role,network,address,mac,media,services,group,switch,switch port,speed,interface';

function addressList(ports: DemoPorts): string {
  const web = `https:${ports.https} ssh:${ports.ssh}`;
  const managed = `${web} snmp:${ports.snmp}`;
  const management = (switchNumber: 1 | 2, port: number): Row => ({
    role: 'management',
    network: 'mgmt',
    media: 'copper',
    services: managed,
    cable: [switchNumber, port],
    speed: '1G',
  });
  const data = (half: 'a' | 'b', port: number, group: string): Row => ({
    role: 'data',
    network: `storage-${half}`,
    media: 'fibre',
    services: `iscsi-target:${ports.iscsi}`,
    group,
    cable: [half === 'a' ? 1 : 2, port],
    speed: '10G',
  });
  const host = (half: 'a' | 'b', port: number, name: string): Row => ({
    role: 'host',
    network: `storage-${half}`,
    media: 'fibre',
    services: `ssh:${ports.ssh}`,
    cable: [half === 'a' ? 1 : 2, port],
    speed: '10G',
    interface: name,
  });
  const rows: readonly (readonly [id: string, row: Row])[] = [
    ['vault-1/A/mgmt', management(1, 1)],
    ['vault-1/B/mgmt', management(2, 1)],
    ['vault-1/A/data0', data('a', 11, 'vault-1 data')],
    ['vault-1/B/data0', data('b', 11, 'vault-1 data')],
    ['vault-2/A/mgmt', management(1, 2)],
    ['vault-2/B/mgmt', management(2, 2)],
    ['vault-2/A/data0', data('a', 12, 'vault-2 data')],
    ['vault-2/B/data0', data('b', 12, 'vault-2 data')],
    ['vault-2/A/fc0', { role: 'data', network: 'fabric-1', media: 'fc', speed: '16G' }],
    ['vault-2/B/fc0', { role: 'data', network: 'fabric-2', media: 'fc', speed: '16G' }],
    ['loft-switch-1/mgmt', { role: 'switch', network: 'mgmt', media: 'copper', services: managed }],
    ['loft-switch-2/mgmt', { role: 'switch', network: 'mgmt', media: 'copper', services: managed }],
    ['press-1/mgmt', management(1, 3)],
    ['press-1/h0', host('a', 13, 'side-1')],
    ['press-1/h1', host('b', 13, 'side-2')],
    [
      'power-1/mgmt',
      { role: 'power', network: 'mgmt', media: 'copper', services: `http:${ports.http}`, cable: [1, 4] },
    ],
  ];
  return `${[HEADER, ...rows.map(([id, row]) => line(id, row))].join('\n')}\n`;
}

function line(id: string, row: Row): string {
  const parts = id.split('/');
  const [device = '', controller = '', port = ''] = parts.length === 3 ? parts : [parts[0], '', parts[1]];
  const address = id in ADDRESS ? ADDRESS[id as DemoEndpoint] : '';
  const mac = id in MAC ? MAC[id as DemoEndpoint] : '';
  const [switchNumber, switchPort] = row.cable ?? [];
  return [
    device,
    controller,
    port,
    row.role,
    row.network ?? '',
    address,
    mac,
    row.media ?? '',
    row.services ?? '',
    row.group ?? '',
    switchNumber === undefined ? '' : `loft-switch-${switchNumber}`,
    switchPort === undefined ? '' : `${switchPort}`,
    row.speed ?? '',
    row.interface ?? '',
  ].join(',');
}
