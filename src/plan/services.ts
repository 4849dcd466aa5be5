import type { PlannedService } from './model.js';

/** RFC 3417 §3.2: an agent listens on UDP port 161. */
export const SNMP_PORT = 161;

/** IANA service names that equipment of this kind offers (IANA Service Name and Transport Protocol Port Number Registry). */
export const SERVICES: readonly PlannedService[] = [
  { name: 'ssh', protocol: 'tcp', port: 22 },
  { name: 'telnet', protocol: 'tcp', port: 23 },
  { name: 'domain', protocol: 'udp', port: 53 },
  { name: 'http', protocol: 'tcp', port: 80 },
  { name: 'kerberos', protocol: 'tcp', port: 88 },
  { name: 'sunrpc', protocol: 'tcp', port: 111 },
  { name: 'ntp', protocol: 'udp', port: 123 },
  { name: 'snmp', protocol: 'udp', port: SNMP_PORT },
  { name: 'ldap', protocol: 'tcp', port: 389 },
  { name: 'https', protocol: 'tcp', port: 443 },
  { name: 'microsoft-ds', protocol: 'tcp', port: 445 },
  { name: 'asf-rmcp', protocol: 'udp', port: 623 },
  { name: 'ldaps', protocol: 'tcp', port: 636 },
  { name: 'netconf-ssh', protocol: 'tcp', port: 830 },
  { name: 'iscsi', protocol: 'tcp', port: 860 },
  { name: 'nfs', protocol: 'tcp', port: 2049 },
  { name: 'isns', protocol: 'tcp', port: 3205 },
  { name: 'iscsi-target', protocol: 'tcp', port: 3260 },
  { name: 'nvme', protocol: 'tcp', port: 4420 },
  { name: 'syslog-tls', protocol: 'tcp', port: 6514 },
  { name: 'nvme-disc', protocol: 'tcp', port: 8009 },
  { name: 'ndmp', protocol: 'tcp', port: 10000 },
];

const BY_NAME = new Map(SERVICES.map((service) => [service.name, service]));

/** `https`, `https:8443`, `tcp/8443`, `udp/161`; undefined where it is none of these. */
export function parseService(text: string): PlannedService | undefined {
  const bare = /^(tcp|udp)\/(\d{1,5})$/i.exec(text);
  if (bare) {
    const port = Number(bare[2]);
    const protocol = bare[1]?.toLowerCase() === 'udp' ? 'udp' : 'tcp';
    return validPort(port) ? { name: `${protocol}/${port}`, protocol, port } : undefined;
  }
  const [name = '', portText] = text.toLowerCase().split(':', 2);
  const known = BY_NAME.get(name);
  if (known === undefined) return undefined;
  if (portText === undefined) return known;
  const port = Number(portText);
  return /^\d{1,5}$/.test(portText) && validPort(port) ? { ...known, port } : undefined;
}

function validPort(port: number): boolean {
  return port >= 1 && port <= 65535;
}

/** `snmp`, on whatever port, and a bare `udp/161` are the same service: one question proves it, by whichever name the plan has it. */
export function isSnmpService({ name, protocol, port }: PlannedService): boolean {
  return protocol === 'udp' && (name === 'snmp' || port === SNMP_PORT);
}

/** `tcp/8443`: of it the connection is all that is asked. */
export function isBarePort({ name, protocol, port }: PlannedService): boolean {
  return protocol === 'tcp' && name === `tcp/${port}`;
}

/** `iscsi` and `iscsi-target`, on whatever port: one discovery session proves it and has the list. */
export function isIscsiService({ name }: PlannedService): boolean {
  return name === 'iscsi' || name === 'iscsi-target';
}

/** `ssh on tcp port 22`; a service that is named by its port says it once: `tcp/3260`. */
export function serviceAt(name: string, protocol: string, port: number): string {
  return name === `${protocol}/${port}` ? name : `${name} on ${protocol} port ${port}`;
}
