/**
 * The written forms of a plan, an address list row and an equipment list: the single source of what may be written.
 * Scalars arrive as text whatever the file type, so that `007`, `1e3` and `yes` mean the same in CSV, XLSX, YAML and JSON.
 */
import { z } from 'zod';
import { MEDIA, ROLES, STEPS } from '../plan/model.js';
import { cell, label, list, optional, required, requiredAs } from './field.js';
import { read } from './reading.js';
import { readAddress, readCidr, readPlainAddress, readRange } from './value/address.js';
import { joined } from './value/members.js';
import {
  readAvailability,
  readHours,
  readMbps,
  readMtu,
  readPort,
  readUnits,
  readVlan,
  wholeNumber,
} from './value/numbers.js';
import { readPortName } from './value/port-name.js';
import { readPortRun } from './value/port-run.js';
import { readSshPlace } from './value/ssh-place.js';
import {
  oneOf,
  readMacAddress,
  readMacPrefix,
  readMedia,
  readRole,
  readServices,
  readWwpn,
  readYesNo,
} from './value/words.js';

/** One row of an address list. Unknown columns stay, as text. */
export const rowSchema = z
  .object({
    device: required('name of the device'),
    controller: label('controller that has the port; empty where there is none'),
    port: requiredAs(readPortName, 'name of the port, unique within its controller'),
    role: optional(readRole, 'management, data, host, switch, power or other', ROLES),
    network: label('name of the network; for Fibre Channel, of the fabric'),
    address: optional(readAddress, 'IPv4 or IPv6 address, with or without /prefix'),
    mac: optional(readMacAddress, 'MAC address, any usual notation'),
    media: optional(readMedia, 'copper, fibre or fc', MEDIA),
    services: list(
      readServices,
      'IANA service names, separated by blanks; https:8443 or tcp/8443 for another port',
    ),
    group: label('redundancy group that the endpoint belongs to'),
    switch: optional(
      joined<string>(read, 'names of switches'),
      'switch that the cable ends at; sw-a+sw-b for the members of an aggregated link',
    ),
    'switch port': optional(
      joined(readPortName, 'names of ports'),
      'port of that switch; 1/7+1/8 for the members of an aggregated link',
    ),
    speed: optional(readMbps, 'link speed, as 10G'),
    mtu: optional(readMtu, 'MTU in bytes'),
    interface: label('ifName or ifDescr of the port on the device'),
    virtual: optional(readYesNo, 'yes for an address that may move between devices'),
    'default address': optional(readPlainAddress, 'factory-default address of the port'),
    snmp: label('name of a credential under snmp'),
    wwpn: optional(readWwpn, 'Fibre Channel port name, 16 hex digits in any usual notation'),
    note: label('free text'),
  })
  .catchall(z.unknown());

const networkSchema = z.strictObject({
  name: required('name of the network'),
  cidr: optional(readCidr, 'the network as 192.0.2.0/24; none for a Fibre Channel fabric'),
  gateway: optional(readPlainAddress, 'address of the router'),
  vlan: optional(readVlan, 'VLAN identifier'),
  routed: optional(readYesNo, 'whether it can be reached through a router from elsewhere'),
  mtu: optional(readMtu, 'MTU in bytes'),
  reserved: cell.listOf(readRange, 'addresses not to be given out: one, a range or a block each'),
  'in-use': cell.listOf(readRange, 'addresses that others already have'),
});

export const identitySchema = z.strictObject({
  sysName: label('SNMP sysName, * stands for any text'),
  sysDescr: label('SNMP sysDescr'),
  serial: label('serial number'),
  title: label('title of the web page'),
  server: label('Server header'),
  certificate: label('certificate subject'),
  ssh: label('SSH identification line'),
  uuid: label('UUID'),
  product: label('product'),
  vendor: label('vendor'),
});

const deviceSchema = z.strictObject({
  name: required('name of the device'),
  rack: label('rack'),
  units: optional(readUnits, 'rack units as 11 or 11-13, counted from 1 at the bottom'),
  feeds: cell.names('power feeds, one a power supply'),
  'default-addresses': cell.listOf(readPlainAddress, 'factory-default addresses'),
  'mac-prefixes': cell.listOf(readMacPrefix, 'first octets of its MAC addresses'),
  identity: identitySchema.optional(),
  controllers: z.record(z.string(), identitySchema).optional().describe('what tells its controllers apart'),
  snmp: label('name of a credential under snmp'),
  existing: optional(readYesNo, 'yes for a device that stood there before the visit'),
});

export const groupSchema = z.strictObject({
  name: required('name of the group'),
  need: optional(wholeNumber(1, 1000), 'how many paths have to work; 1 unless given'),
  independent: cell.names('what the paths must not share; controller and switch unless given'),
  from: label('device whose host ports start the paths'),
  to: label('group whose ports end the paths'),
});

const secret = (what: string) => label(`${what}: env:NAME, file:PATH, or the secret itself`);

const credentialSchema = z.strictObject({
  version: optional(
    oneOf(['1', '2c', '3'], { v1: '1', v2c: '2c', v2: '2c', '2': '2c', v3: '3' }),
    '1, 2c or 3',
  ),
  port: optional(readPort, 'UDP port; 161 unless given'),
  community: secret('community'),
  user: label('user name (version 3)'),
  level: optional(oneOf(['noAuthNoPriv', 'authNoPriv', 'authPriv']), 'noAuthNoPriv, authNoPriv or authPriv'),
  auth: optional(
    oneOf(['md5', 'sha', 'sha224', 'sha256', 'sha384', 'sha512'], { sha1: 'sha' }),
    'md5, sha, sha224, sha256, sha384 or sha512',
  ),
  authKey: secret('authentication key'),
  priv: optional(
    oneOf(['des', 'aes', 'aes256b', 'aes256r'], { aes128: 'aes' }),
    'des, aes, aes256b or aes256r',
  ),
  privKey: secret('privacy key'),
});

export const observationSchema = z.strictObject({
  subject: required('what to look at'),
  item: required('which part of it'),
  expect: required('what should be seen'),
  when: optional(oneOf(STEPS), 'step of the visit at which it can be seen first', STEPS),
});

export const vantageSchema = z.strictObject({
  name: required('what the place is called'),
  ssh: requiredAs(readSshPlace, 'how it is reached, as ssh://user@host'),
});

const availabilitySchema = z.strictObject({
  kind: required('controller, switch, network, feed or another kind of thing'),
  name: label('one thing of that kind; all of them unless given'),
  value: optional(readAvailability, 'share of time it works, as 0.9995'),
  'mtbf-hours': optional(readHours, 'mean time between failures, hours'),
  'mttr-hours': optional(readHours, 'mean time to repair, hours'),
});

const siteSchema = z.strictObject({
  name: label('name of the site'),
  reference: label('order or project number'),
});
const formatOne = (what: string) => requiredAs(oneOf(['1']), what);

export const planSchema = z.strictObject({
  plan: formatOne('format of this file: 1'),
  site: siteSchema.optional(),
  networks: z.array(networkSchema).optional(),
  devices: z.array(deviceSchema).optional(),
  endpoints: z
    .union([z.string(), z.array(rowSchema)])
    .describe('an address list beside this file (CSV or XLSX), or the rows themselves'),
  groups: z.array(groupSchema).optional(),
  snmp: z.record(z.string(), credentialSchema).optional(),
  observe: z.array(observationSchema).optional(),
  vantages: z.array(vantageSchema).optional().describe('other places to look from'),
  availability: z.array(availabilitySchema).optional(),
});

const itemPortSchema = z.strictObject({
  name: required('name of the port'),
  role: optional(readRole, 'management, data, host, switch, power or other', ROLES),
  network: label('name of the network'),
  services: list(readServices, 'IANA service names'),
  media: optional(readMedia, 'copper, fibre or fc', MEDIA),
  group: label('redundancy group'),
  speed: optional(readMbps, 'link speed'),
  mtu: optional(readMtu, 'MTU in bytes'),
  virtual: optional(readYesNo, 'yes for an address that may move between devices'),
  per: optional(oneOf(['controller', 'device']), 'controller (unless given) or device'),
});

export const equipmentSchema = z.strictObject({
  equipment: formatOne('format of this file: 1'),
  site: siteSchema.optional(),
  networks: z.array(networkSchema).optional(),
  items: z.array(
    z.strictObject({
      name: required('what the devices are called; numbered from 1'),
      count: optional(wholeNumber(1, 1000), 'how many; 1 unless given'),
      controllers: cell.names('controllers of each'),
      ports: z.array(itemPortSchema),
      'default-addresses': cell.listOf(readPlainAddress, 'factory-default addresses'),
      snmp: label('name of a credential'),
      feeds: cell.names('power feeds, one a power supply'),
      'switch-ports': cell.listOf(
        readPortRun,
        'for a switch: its ports that cables can go to, a name or a run of them each, as 1/1-1/24',
      ),
      serves: cell.names('for a switch: the networks whose cables it takes; all of them unless given'),
    }),
  ),
  observe: z.array(observationSchema).optional().describe('what eyes must prove, beside the usual list'),
});

export type WrittenRow = z.output<typeof rowSchema>;
export type WrittenPlan = z.output<typeof planSchema>;
export type WrittenEquipment = z.output<typeof equipmentSchema>;
export type WrittenNetwork = z.output<typeof networkSchema>;
export type WrittenDevice = z.output<typeof deviceSchema>;
export type WrittenGroup = z.output<typeof groupSchema>;
export type WrittenCredential = z.output<typeof credentialSchema>;
