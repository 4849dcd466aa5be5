/** Real programs on lab hosts: net-snmp's agent, a web server with its certificate, an SSH line. */
import { existsSync, mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { generate } from 'selfsigned';
import { type Lab, type LabHost, type LabSwitch, PROJECT } from './lab.js';
import { must, type Running } from './run.js';

export interface WebServer {
  readonly port: number;
  readonly tls?: { readonly key: string; readonly cert: string };
  readonly title?: string;
  /** The title is padded to so many characters. */
  readonly titleLength?: number;
  readonly server?: string;
  readonly address?: string;
  readonly pages?: Record<string, string>;
}

export interface Equipment {
  readonly web?: readonly WebServer[];
  readonly lines?: readonly { readonly port: number; readonly line: string; readonly address?: string }[];
  readonly open?: readonly number[];
}

/** Web servers, SSH lines and open ports on one host. */
export async function startEquipment(host: LabHost, equipment: Equipment): Promise<Running> {
  const script = path.join(PROJECT, 'tests/lab/support/equipment.mjs');
  const running = host.start(process.execPath, [script, JSON.stringify(equipment)]);
  await running.waitFor(/^ready$/m);
  return running;
}

/** A self-signed certificate: by openssl, or, for one that ended yesterday, by the package that can date it back. */
export async function makeCertificate(
  lab: Lab,
  commonName: string,
  options: { expired?: boolean } = {},
): Promise<{ key: string; cert: string }> {
  const key = path.join(lab.folder, `${commonName}.key`);
  const cert = path.join(lab.folder, `${commonName}.pem`);
  if (options.expired === true) {
    const dayMs = 86_400_000;
    const made = await generate([{ name: 'commonName', value: commonName }], {
      notBeforeDate: new Date(Date.now() - 30 * dayMs),
      notAfterDate: new Date(Date.now() - dayMs),
    });
    writeFileSync(key, made.private);
    writeFileSync(cert, made.cert);
    return { key, cert };
  }
  await must('openssl', [
    ...['req', '-x509', '-newkey', 'ec', '-pkeyopt', 'ec_paramgen_curve:prime256v1', '-nodes'],
    ...['-keyout', key, '-out', cert, '-days', '365', '-subj', `/CN=${commonName}`],
  ]);
  return { key, cert };
}

export interface SnmpAgent {
  readonly sysName: string;
  readonly sysDescr?: string;
  readonly community?: string;
  readonly port?: number;
  /** Further lines of snmpd.conf. */
  readonly lines?: readonly string[];
  /** Modules of snmpd that are left out, beside smux. */
  readonly without?: readonly string[];
  /** Serve as an AgentX master on this socket path, for lldpd. */
  readonly agentx?: string;
}

/** For the lab itself, over the host's own loopback. */
const OWN_COMMUNITY = 'lab-own';
/** NET-SNMP-AGENT-MIB, nsCacheTimeout of ifTable: how long the agent tells the state of its ports from memory; 3 s unless set. */
const IF_TABLE_MEMORY = '1.3.6.1.4.1.8072.1.5.3.1.2.1.3.6.1.2.1.2.2';

/**
 * A real snmpd, read only, on every address of the host. It remembers nothing of its ports, and the programs behind its tables have been
 * started: snmpd does that at the first question, and stands still meanwhile.
 */
export async function startSnmpd(host: LabHost | LabSwitch, agent: SnmpAgent): Promise<Running> {
  const folder = path.join(host.lab.folder, `snmpd-${host.name}`);
  mkdirSync(folder, { recursive: true });
  const file = path.join(folder, 'snmpd.conf');
  writeFileSync(
    file,
    [
      `rocommunity ${agent.community ?? 'lab-read'}`,
      `rocommunity6 ${agent.community ?? 'lab-read'}`,
      `rwcommunity ${OWN_COMMUNITY} 127.0.0.1`,
      `sysName ${agent.sysName}`,
      `sysDescr ${agent.sysDescr ?? `Example equipment ${agent.sysName}`}`,
      'sysLocation lab',
      'sysContact nobody@lab.example',
      ...(agent.agentx === undefined ? [] : ['master agentx', `agentXSocket ${agent.agentx}`]),
      ...(agent.lines ?? []),
      '',
    ].join('\n'),
  );
  const port = agent.port ?? 161;
  const running = host.start(
    'snmpd',
    [
      '-f',
      '-Lo',
      '-C',
      '-c',
      file,
      '-I',
      ['-smux', ...(agent.without ?? [])].join(),
      `udp:0.0.0.0:${port}`,
      `udp6:[::]:${port}`,
    ],
    { env: { SNMP_PERSISTENT_DIR: folder, MIBS: '' } },
  );
  await running.waitFor(/NET-SNMP version/, 15_000);
  const ask = (program: string, ...args: string[]): Promise<string> =>
    host.must(program, ['-v2c', '-c', OWN_COMMUNITY, '-t', '10', `127.0.0.1:${port}`, ...args], {
      env: { MIBS: '' },
    });
  if (agent.without?.includes('ifTable') !== true) await ask('snmpset', IF_TABLE_MEMORY, 'i', '0');
  for (const line of agent.lines ?? []) {
    const [, root] = /^pass_persist (?:-p \d+ )?\.([\d.]+) /.exec(line) ?? [];
    if (root !== undefined) await ask('snmpgetnext', root);
  }
  return running;
}

/** The reason why a test needing these programs must be skipped, or undefined. */
export function programsRefusal(...programs: readonly string[]): string | undefined {
  const folders = ['/usr/bin', '/usr/sbin', '/bin', '/sbin', '/usr/local/bin', '/usr/local/sbin'];
  const absent = programs.filter(
    (program) => !folders.some((folder) => existsSync(path.join(folder, program))),
  );
  return absent.length === 0 ? undefined : `not installed: ${absent.join(', ')}`;
}
