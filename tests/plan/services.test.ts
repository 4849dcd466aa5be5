import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { isSnmpService, parseService, SERVICES, serviceAt } from '../../src/plan/services.js';

/** IANA Service Name and Transport Protocol Port Number Registry, read in the copies named in the shared standards notes. */
const IANA = {
  ssh: 22,
  domain: 53,
  http: 80,
  kerberos: 88,
  sunrpc: 111,
  ntp: 123,
  snmp: 161,
  ldap: 389,
  https: 443,
  'microsoft-ds': 445,
  'asf-rmcp': 623,
  ldaps: 636,
  'netconf-ssh': 830,
  iscsi: 860,
  nfs: 2049,
  isns: 3205,
  'iscsi-target': 3260,
  nvme: 4420,
  'syslog-tls': 6514,
  'nvme-disc': 8009,
  ndmp: 10_000,
} as const;

test.each(Object.entries(IANA))('%s is port %i', (name, port) => {
  expect(parseService(name)?.port).toBe(port);
});

test('this system lists the same ports, where it lists the name at all (/etc/services)', ({ skip }) => {
  let text: string;
  try {
    text = readFileSync('/etc/services', 'utf8');
  } catch {
    return skip('no /etc/services here');
  }
  const listed = new Map(
    [...text.matchAll(/^([a-z][\w-]*)\s+(\d+)\/(tcp|udp)/gm)].map((match) => [
      `${match[1]}/${match[3]}`,
      Number(match[2]),
    ]),
  );
  const both = SERVICES.filter((service) => listed.has(`${service.name}/${service.protocol}`));
  for (const service of both)
    expect([service.name, service.port]).toEqual([
      service.name,
      listed.get(`${service.name}/${service.protocol}`),
    ]);
  return undefined;
});

test.each([
  ['HTTPS', { name: 'https', protocol: 'tcp', port: 443 }],
  ['https:8443', { name: 'https', protocol: 'tcp', port: 8443 }],
  ['tcp/8443', { name: 'tcp/8443', protocol: 'tcp', port: 8443 }],
  ['UDP/161', { name: 'udp/161', protocol: 'udp', port: 161 }],
])('%s', (text, service) => {
  expect(parseService(text)).toEqual(service);
});

test.each(['', 'htps', 'tcp/0', 'tcp/65536', 'sctp/80', 'https:', 'https:0', 'https:99999', '443'])(
  '%j is no service',
  (text) => {
    expect(parseService(text)).toBeUndefined();
  },
);

// IANA: snmp is 161/udp.
test.each([
  ['snmp', true],
  ['snmp:1161', true],
  ['udp/161', true],
  ['tcp/161', false],
  ['udp/162', false],
  ['https', false],
])('%s is SNMP: %s', (text, same) => {
  const service = parseService(text);
  expect(service !== undefined && isSnmpService(service)).toBe(same);
});

test('a bare port says its number once', () => {
  expect(serviceAt('ssh', 'tcp', 22)).toBe('ssh on tcp port 22');
  expect(serviceAt('tcp/3260', 'tcp', 3260)).toBe('tcp/3260');
});
