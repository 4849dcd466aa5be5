/** Our decoders against tshark on captures that tcpdump and dumpcap made of a real duplicate address, announcement and LLDP. */
import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { decodeArp } from '../../src/wire/arp.js';
import { decodeLinkFrame, ETHERTYPE } from '../../src/wire/ethernet.js';
import { decodeNeighbourDiscovery } from '../../src/wire/neighbour-discovery.js';
import { claimsFrom, readCapture } from '../support/whole-capture.js';
import { TSHARK, tsharkFields } from '../wire/tshark.js';
import { Lab, type LabHost, labRefusal } from './support/lab.js';

const refusal =
  (await labRefusal()) ??
  ['tcpdump', 'dumpcap', 'arping']
    .filter((program) => spawnSync(program, ['--version']).error !== undefined)
    .map((program) => `no ${program}`)[0] ??
  (TSHARK === undefined ? 'no tshark' : undefined);
if (refusal !== undefined) console.warn(`SKIPPED: captures against tshark: ${refusal}`);

const OWN = '00:00:5e:00:53:0a';
const FIRST = '00:00:5e:00:53:0b';
const SECOND = '00:00:5e:00:53:0c';

/** How each program is asked for a file of its format; `-U` and the small ring make it write at once. */
const WRITERS = [
  { name: 'tcpdump, microseconds', command: 'tcpdump', args: ['-i', 'eth0', '-U', '-w'] },
  {
    name: 'tcpdump, nanoseconds',
    command: 'tcpdump',
    args: ['-i', 'eth0', '-U', '--time-stamp-precision=nano', '-w'],
  },
  { name: 'tcpdump on every interface (cooked)', command: 'tcpdump', args: ['-i', 'any', '-U', '-w'] },
  { name: 'dumpcap, pcapng', command: 'dumpcap', args: ['-i', 'eth0', '-w'] },
  { name: 'dumpcap, pcapng of two interfaces', command: 'dumpcap', args: ['-i', 'lo', '-i', 'eth0', '-w'] },
  { name: 'dumpcap, classic', command: 'dumpcap', args: ['-i', 'eth0', '-P', '-w'] },
];

describe.skipIf(refusal !== undefined)(`captures, decoded by us and by tshark ${TSHARK}`, () => {
  let lab: Lab;
  let laptop: LabHost;
  const files = new Map<string, string>();

  beforeAll(async () => {
    lab = new Lab();
    const bench = await lab.addSwitch('bench');
    const nic = (mac: string, ...addresses: string[]) => [{ switch: bench, name: 'eth0', mac, addresses }];
    laptop = await lab.addHost('laptop', nic(OWN, '192.0.2.10/24', '2001:db8::10/64'));
    const first = await lab.addHost('first', nic(FIRST, '192.0.2.45/24', '2001:db8::45/64'));
    await lab.addHost('second', nic(SECOND, '192.0.2.45/24', '2001:db8::46/64'));

    const running = WRITERS.map(({ name, command, args }, index) => {
      const file = path.join(lab.folder, `capture-${index}`);
      files.set(name, file);
      return { program: laptop.start(command, [...args, file]), ready: /listening on|Capturing on|File:/ };
    });
    for (const { program, ready } of running) await program.waitFor(ready, 20_000);
    await pause(500);
    await laptop.exec('arping', ['-c', '2', '-w', '2', '-I', 'eth0', '192.0.2.45']);
    await laptop.exec('arping', ['-D', '-c', '1', '-w', '1', '-I', 'eth0', '192.0.2.46']);
    await first.exec('arping', ['-A', '-c', '1', '-I', 'eth0', '192.0.2.45']);
    await laptop.exec('ping', ['-c', '1', '-W', '1', '192.0.2.45']);
    await laptop.exec('ping', ['-c', '1', '-W', '1', '2001:db8::45']);
    await pause(1000);
    for (const { program } of running) await program.stop();
  });
  afterAll(() => lab?.remove());

  it.each(WRITERS)('$name: every ARP frame alike, with its time', ({ name }) => {
    const bytes = readFileSync(files.get(name) ?? '');
    const { frames, refusal: refused } = readCapture(bytes);
    expect(refused).toBeUndefined();
    const ours = frames.flatMap((frame) => {
      const link = decodeLinkFrame(frame.bytes, frame.linkType);
      if (!link.ok || link.value.etherType !== ETHERTYPE.arp) return [];
      const arp = decodeArp(link.value.payload);
      if (!arp.ok || frame.timeNs === undefined) return [];
      const { op, senderMac, senderAddress, targetMac, targetAddress } = arp.value;
      const seconds = `${frame.timeNs / 1_000_000_000n}.${String(frame.timeNs % 1_000_000_000n).padStart(9, '0')}`;
      return [[seconds, String(op), senderMac, senderAddress, targetMac, targetAddress]];
    });
    const fields = ['src.hw_mac', 'src.proto_ipv4', 'dst.hw_mac', 'dst.proto_ipv4'].map(
      (field) => `arp.${field}`,
    );
    const rows = tsharkFields(bytes, ['frame.time_epoch', 'arp.opcode', ...fields]).filter(
      (row) => row[1] !== '',
    );
    expect(rows.length).toBeGreaterThan(6);
    expect(ours).toEqual(rows);
  });

  it.each(WRITERS)('$name: every neighbour solicitation and advertisement alike', ({ name }) => {
    const bytes = readFileSync(files.get(name) ?? '');
    const ours = readCapture(bytes).frames.flatMap((frame) => {
      const link = decodeLinkFrame(frame.bytes, frame.linkType);
      if (!link.ok || link.value.etherType !== ETHERTYPE.ipv6) return [];
      const found = decodeNeighbourDiscovery(link.value.payload);
      if (!found.ok) return [];
      const { kind, source, target, linkLayer = '' } = found.value;
      return [[kind === 'solicitation' ? '135' : '136', source, target, linkLayer]];
    });
    const rows = tsharkFields(bytes, [
      'icmpv6.type',
      'ipv6.src',
      'icmpv6.nd.ns.target_address',
      'icmpv6.nd.na.target_address',
      'icmpv6.opt.linkaddr',
    ]).filter(([type]) => type === '135' || type === '136');
    expect(rows.length).toBeGreaterThan(1);
    expect(ours).toEqual(
      rows.map(([type, source, asked, told, mac]) => [type, source, `${asked}${told}`, mac]),
    );
  });

  it.each(WRITERS)(
    '$name: two devices on one address, and nobody on the address that was only tested',
    ({ name }) => {
      const { frames } = readCapture(readFileSync(files.get(name) ?? ''));
      const { claims } = claimsFrom(frames, OWN);
      expect(claims.get('192.0.2.45')).toEqual(new Set([FIRST, SECOND]));
      expect(claims.has('192.0.2.46')).toBe(false);
      expect(claims.has('0.0.0.0')).toBe(false);
      expect(claims.get('2001:db8::45')).toEqual(new Set([FIRST]));
    },
  );
});
