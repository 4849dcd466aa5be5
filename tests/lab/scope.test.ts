/**
 * What every command that asks puts on the wire, captured whole and held against the plan (issue 13.15): planned addresses and ports alone,
 * no SNMP SET, no login, no request that changes anything. Who reads the plan can say beforehand what will be sent.
 */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { buildContractSite, CONTRACT_ENV, type ContractSite, SECRETS } from './support/contract-site.js';
import { labRefusal, PROJECT } from './support/lab.js';
import { programsRefusal } from './support/services.js';

const refusal =
  (await labRefusal()) ?? programsRefusal('snmpd', 'openssl', 'nft', 'ping', 'tcpdump', 'tshark');
if (refusal !== undefined) console.warn(`SKIPPED: the scope in the lab: ${refusal}`);

const LAPTOP = '192.0.2.5';
const LAPTOP_MAC = '00:00:5e:00:53:05';

/** By the plan of the site (support/contract-site.ts), written out by hand: what may be sent where, beside ARP and echo. */
const SERVICES: Readonly<Record<string, readonly string[]>> = {
  '192.0.2.11': ['tcp 80', 'tcp 443', 'tcp 22', 'udp 161'],
  '192.0.2.12': ['tcp 443', 'tcp 22', 'udp 161'],
  '192.0.2.13': ['tcp 443', 'tcp 22', 'udp 161'],
  '192.0.2.14': ['tcp 443', 'tcp 22'],
  '192.0.2.15': [],
  '192.0.2.16': ['tcp 22'],
  '192.0.2.17': ['tcp 443'],
  '192.0.2.18': ['tcp 443', 'tcp 22', 'udp 161'],
  '192.0.2.19': ['tcp 443'],
  '198.51.100.12': ['tcp 3260'],
  '198.51.100.11': ['tcp 3260'],
  '198.51.100.139': ['tcp 3260'],
  '203.0.113.11': ['tcp 3260'],
  '203.0.113.12': ['tcp 3260'],
  // Planned in a network that the laptop has no way to.
  '203.0.113.139': ['tcp 3260'],
  // Default addresses: which device is it? The first page and the first line alone.
  '192.0.2.200': ['tcp 443', 'tcp 80', 'tcp 22'],
  '192.0.2.201': ['tcp 443', 'tcp 80', 'tcp 22'],
  '203.0.113.200': ['tcp 443', 'tcp 80', 'tcp 22'],
  // Gateways.
  '192.0.2.1': [],
  '198.51.100.1': [],
};
/** An empty datagram to the discard port (RFC 863) makes the system ask who has an address. */
const DISCARD = 'udp 9';
const IDENTIFYING = ['tcp 443', 'tcp 80', 'tcp 22'];

/** What is asked of tshark of each frame. */
const FIELDS = [
  ...['ip.dst', 'ip.proto', 'tcp.dstport', 'udp.dstport', 'icmp.type', 'ipv6.dst'],
  ...['arp.opcode', 'arp.dst.proto_ipv4', 'snmp.data', 'tcp.payload', 'frame.protocols'],
] as const;
type Frame = Readonly<Record<(typeof FIELDS)[number], string>>;

interface Packet {
  readonly to: string;
  readonly what: string;
}

const COMMANDS: readonly (readonly [name: string, options: readonly string[]])[] = [
  ['check', ['--out', 'check']],
  ['check', ['--stage', 'power-on', '--out', 'power-on']],
  ['survey', ['--out', 'survey']],
  ['survey', ['--networks', '--out', 'survey-networks']],
  ['follow', ['--rounds', '2', '--interval', '1', '--out', 'follow']],
  ['drill', ['--group', 'vault-1 mgmt', '--script', '--wait', '3', '--hold', '1', '--out', 'drill']],
];

describe.skipIf(refusal !== undefined)('what is sent', () => {
  let site: ContractSite;
  beforeAll(async () => {
    site = await buildContractSite();
  });
  afterAll(() => site?.lab.remove());

  /** All frames that the laptop sent while the command ran, as a capture file. */
  async function captured(name: string, options: readonly string[]): Promise<{ pcap: string; said: string }> {
    const pcap = path.join(site.lab.folder, `${options.at(-1)}.pcap`);
    const capture = site.laptop.start('tcpdump', [
      '-i',
      'eth0',
      '-U',
      '-w',
      pcap,
      'ether',
      'src',
      LAPTOP_MAC,
    ]);
    await capture.waitFor(/listening on/);
    const line = [path.join(PROJECT, 'bin/matchmark.js'), name, site.planFile, ...options];
    const running = site.laptop.start(process.execPath, line, { env: CONTRACT_ENV, cwd: site.lab.folder });
    const ended = new Promise<void>((resolve) => running.child.once('close', () => resolve()));
    if (name === 'drill') {
      // It watches while it waits for somebody to pull.
      await running.waitFor(/"event":"pull"/, 60_000);
      await new Promise((resolve) => setTimeout(resolve, 3_000));
      running.child.stdin?.end('abort\n');
    }
    await ended;
    await capture.stop();
    return { pcap, said: running.output() };
  }

  const read = new Map<string, Promise<Frame[]>>();
  /** tshark takes a second to start, so it reads a capture once, for all that is asked of it. */
  function framesOf(pcap: string): Promise<Frame[]> {
    const known = read.get(pcap) ?? readFrames(pcap);
    read.set(pcap, known);
    return known;
  }
  async function readFrames(pcap: string): Promise<Frame[]> {
    const told = await site.laptop.must('tshark', [
      ...['-r', pcap, '-T', 'fields', '-E', 'occurrence=f', '-E', 'separator=|'],
      ...FIELDS.flatMap((name) => ['-e', name]),
    ]);
    return told
      .split('\n')
      .filter((line) => line.trim() !== '')
      .map((line) => {
        const values = line.split('|');
        return Object.fromEntries(FIELDS.map((name, at) => [name, values[at] ?? ''])) as Frame;
      });
  }

  /** The first IP header of each packet: an ICMP error quotes another. */
  async function packets(pcap: string): Promise<Packet[]> {
    return (await framesOf(pcap))
      .filter((frame) => frame['ip.dst'] !== '')
      .map((frame) => ({
        to: frame['ip.dst'],
        what:
          frame['ip.proto'] === '6'
            ? `tcp ${frame['tcp.dstport']}`
            : frame['ip.proto'] === '17'
              ? `udp ${frame['udp.dstport']}`
              : frame['ip.proto'] === '1'
                ? `icmp ${frame['icmp.type']}`
                : `protocol ${frame['ip.proto']}`,
      }));
  }

  it.each(COMMANDS)('%s %j: planned addresses and ports alone', async (name, options) => {
    const { pcap, said } = await captured(name, options);
    const sweeps = options.includes('--networks');
    const mayBeAsked = (address: string): boolean =>
      address in SERVICES || (sweeps && /^(192\.0\.2|198\.51\.100|203\.0\.113)\.\d+$/.test(address));
    const sent = await packets(pcap);
    expect(sent.length, said).toBeGreaterThan(20);
    const beyond = sent.filter(({ to, what }) => {
      if (!mayBeAsked(to)) return true;
      // Echo; and the system's own word that nothing listens where an answer came too late (RFC 792).
      if (what === 'icmp 8' || what === 'icmp 3' || what === DISCARD) return false;
      return !(SERVICES[to] ?? IDENTIFYING).includes(what);
    });
    expect(beyond, said).toEqual([]);
    // Answers of the laptop to ARP questions are the system's own.
    const frames = await framesOf(pcap);
    const asked = frames
      .filter((frame) => frame['arp.opcode'] === '1')
      .map((frame) => frame['arp.dst.proto_ipv4']);
    expect(asked.length).toBeGreaterThan(5);
    expect(asked.filter((to) => !mayBeAsked(to) && to !== LAPTOP)).toEqual([]);
    // Beside IPv4 and ARP: what an interface says by itself in IPv6 (RFC 4861, RFC 9777), to groups alone.
    const other = frames.filter(
      (frame) =>
        frame['ip.dst'] === '' && frame['arp.opcode'] === '' && !/^ff[0-9a-f]{2}:/.test(frame['ipv6.dst']),
    );
    expect(other).toEqual([]);
  });

  it.each(COMMANDS)('%s %j: reads alone', async (_name, options) => {
    const pcap = path.join(site.lab.folder, `${options.at(-1)}.pcap`);
    // RFC 3416 §3 by tshark's names: 0 get, 1 get-next, 5 get-bulk; 3 would be set. SNMPv3 in clear is the engine's discovery alone.
    const frames = await framesOf(pcap);
    const pdus = frames.flatMap((frame) => frame['snmp.data'].split(','));
    expect(pdus.filter((pdu) => !['0', '1', '5', ''].includes(pdu))).toEqual([]);
    const words = frames
      .filter((frame) => frame['tcp.payload'] !== '')
      .map(
        (frame) =>
          [
            frame['tcp.dstport'],
            Buffer.from(frame['tcp.payload'].replaceAll(':', ''), 'hex').toString('latin1'),
          ] as const,
      );
    for (const [port, text] of words) {
      // RFC 4253 §4.2: the line that says which SSH it is. What follows would be a login.
      if (port === '22') expect(text).toMatch(/^SSH-2\.0-[^\r\n]+\r\n$/);
      if (port === '80') expect(text).toMatch(/^GET \/\S* HTTP\/1\.1\r\n/);
      // RFC 7143 §11.12, §13.1: a login request of a discovery session that offers no authentication.
      if (port === '3260') expect(text).not.toMatch(/CHAP|SRP|KRB5/);
      expect(text).not.toMatch(/authorization:|cookie:|password/i);
    }
    for (const request of site.asked()) {
      expect(request).toMatch(/^GET \//);
      expect(request).not.toMatch(/authorization|cookie/);
    }
    // The keys of SNMPv3 never leave; a community does where the plan says so, in the datagrams of SNMP alone (RFC 3584 §5).
    const octets = readFileSync(pcap).toString('latin1');
    for (const key of [SECRETS.authKey, SECRETS.privKey]) expect(octets).not.toContain(key);
    for (const [, text] of words) expect(text).not.toContain(SECRETS.community);
  });

  it('the commands did ask: each kind of question was seen', async () => {
    const seen = new Set((await packets(path.join(site.lab.folder, 'check.pcap'))).map(({ what }) => what));
    for (const what of ['tcp 22', 'tcp 80', 'tcp 443', 'tcp 3260', 'udp 161', 'icmp 8'])
      expect(seen).toContain(what);
    const drilled = await packets(path.join(site.lab.folder, 'drill.pcap'));
    expect(drilled.filter(({ to }) => to === '192.0.2.11').length).toBeGreaterThan(20);
  });
});
