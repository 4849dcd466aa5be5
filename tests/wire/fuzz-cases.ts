/** One property for every decoder: whatever comes in, it answers in time with a value or a located refusal, and throws nothing. */
import { performance } from 'node:perf_hooks';
import fc from 'fast-check';
import { decodeIpNeighJson, decodeIpNeighText, decodeProcNetArp } from '../../src/system/linux/neighbours.js';
import { decodeArpMacos, decodeNdpMacos } from '../../src/system/macos/neighbours.js';
import { decodeArpWindows, decodeGetNetNeighbor } from '../../src/system/windows/neighbours.js';
import { decodeArp } from '../../src/wire/arp.js';
import { statementsOf } from '../../src/wire/arp-claims.js';
import { decodeLinkFrame } from '../../src/wire/ethernet.js';
import { createDiscovery } from '../../src/wire/iscsi/discovery.js';
import { decodeKeys } from '../../src/wire/iscsi/keys.js';
import { targetsFrom } from '../../src/wire/iscsi/targets.js';
import { decodeLldp } from '../../src/wire/lldp.js';
import { readTooLong } from '../../src/wire/mtu-output.js';
import { decodeNeighbourDiscovery } from '../../src/wire/neighbour-discovery.js';
import { decodeNvmeReply } from '../../src/wire/nvme-tcp.js';
import { createCaptureReader } from '../../src/wire/pcap.js';
import { takeRpcReply } from '../../src/wire/rpc.js';
import { decodeSmbReply } from '../../src/wire/smb.js';
import { fromHex } from '../support/hex.js';
import { decodePdus } from '../support/pdus.js';
import { enhancedPacket, interfaceBlock, sectionHeader } from './capture-bytes.js';
import { fixtureText } from './fixture.js';
import { golden, goldenCapture } from './golden.js';

export interface ByteCase {
  readonly name: string;
  readonly decode: (bytes: Uint8Array) => unknown;
  /** Well-formed bytes that truncation and damage start from. */
  readonly seeds: readonly Uint8Array[];
}

const PAYLOAD_AT = 14;
const payloads = (file: string) => golden(file).map(({ hex }) => fromHex(hex).subarray(PAYLOAD_AT));
const frames = ['arp', 'lldp', 'neighbour-discovery'].flatMap((file) =>
  golden(file).map(({ hex }) => fromHex(hex)),
);

const pdus = golden('iscsi').map(({ hex }) => fromHex(hex));
const fromTarget = pdus.filter(([first = 0]) => first >= 0x20 && first < 0x40);
const RPC_MISMATCH = '80000020000000070000000100000000000000000000000000000002000000040000000400';
const SMB_REPLY = `00000080fe534d4240000000000000000000010001000000${'00'.repeat(44)}4100010002030000${'00'.repeat(56)}`;

/** A whole session against a target that says these bytes: what we send stays bounded. */
function session(bytes: Uint8Array): unknown {
  const heard = decodePdus(bytes);
  if (!heard.ok) return heard;
  const discovery = createDiscovery({
    connection: { address: '192.0.2.45', port: 3260 },
    isid: Uint8Array.of(0x80, 0, 0, 0, 0, 0),
  });
  discovery.start();
  for (const pdu of heard.value) {
    const step = discovery.receive(pdu);
    if (step.send.length > 1) throw new Error('more than one answer to one PDU');
    if (step.finished) break;
  }
  return undefined;
}

export const BYTE_CASES: readonly ByteCase[] = [
  { name: 'ARP', decode: decodeArp, seeds: payloads('arp') },
  { name: 'LLDP', decode: decodeLldp, seeds: payloads('lldp') },
  { name: 'neighbour discovery', decode: decodeNeighbourDiscovery, seeds: payloads('neighbour-discovery') },
  { name: 'Ethernet', decode: decodeLinkFrame, seeds: frames },
  {
    name: 'cooked',
    decode: (bytes) => [decodeLinkFrame(bytes, 113), decodeLinkFrame(bytes, 276)],
    seeds: frames,
  },
  {
    name: 'claims',
    decode: (bytes) =>
      statementsOf({ bytes, interfaceIndex: 0, linkType: 1, originalLength: bytes.length, timeUs: 0 }),
    seeds: frames,
  },
  {
    name: 'capture',
    decode: (bytes) => {
      const reader = createCaptureReader();
      const half = bytes.length >> 1;
      return [reader.push(bytes.subarray(0, half)), reader.push(bytes.subarray(half)), reader.end()];
    },
    seeds: [
      goldenCapture(golden('arp')),
      goldenCapture(golden('lldp'), { littleEndian: false, nanoseconds: true }),
      Buffer.concat([
        sectionHeader(true),
        interfaceBlock(true, 1, 9),
        ...frames.map((frame) => enhancedPacket(true, 0, 1n, frame)),
      ]),
    ],
  },
  { name: 'iSCSI PDUs', decode: decodePdus, seeds: pdus },
  {
    name: 'iSCSI target list',
    decode: (bytes) => {
      const keys = decodeKeys(bytes);
      return keys.ok ? targetsFrom(keys.value, { address: '192.0.2.45', port: 3260 }) : keys;
    },
    seeds: pdus.map((pdu) => pdu.subarray(48)),
  },
  { name: 'iSCSI session', decode: session, seeds: [Buffer.concat(fromTarget.slice(0, 4)), ...fromTarget] },
  { name: 'RPC', decode: takeRpcReply, seeds: [fromHex(RPC_MISMATCH)] },
  { name: 'SMB', decode: decodeSmbReply, seeds: [fromHex(SMB_REPLY)] },
  { name: 'NVMe/TCP', decode: decodeNvmeReply, seeds: [fromHex(`0100800080000000${'00'.repeat(120)}`)] },
];

export interface TextCase {
  readonly name: string;
  readonly decode: (text: string) => unknown;
  readonly seed: string;
}

export const TEXT_CASES: readonly TextCase[] = [
  { name: 'ip -j neigh', decode: decodeIpNeighJson, seed: fixtureText('os-output/neigh-ip.json') },
  { name: 'ip neigh', decode: decodeIpNeighText, seed: fixtureText('os-output/neigh-ip.txt') },
  { name: '/proc/net/arp', decode: decodeProcNetArp, seed: fixtureText('os-output/arp-proc.txt') },
  { name: 'arp -an', decode: decodeArpMacos, seed: fixtureText('os-output/arp-macos.txt') },
  { name: 'ndp -an', decode: decodeNdpMacos, seed: fixtureText('os-output/neigh-ndp-macos.txt') },
  { name: 'arp -a', decode: decodeArpWindows, seed: fixtureText('os-output/arp-windows-german.txt') },
  {
    name: 'Get-NetNeighbor',
    decode: decodeGetNetNeighbor,
    seed: fixtureText('os-output/neigh-get-netneighbor.json'),
  },
  { name: 'too long', decode: readTooLong, seed: fixtureText('os-output/mtu-iputils-router.txt') },
];

/** A decoder that needs longer than this for a few kilobytes has hung, in milliseconds. */
const HANG_MS = 2000;

function inTime(work: () => unknown): void {
  const startedAt = performance.now();
  const results = [work()].flat();
  if (performance.now() - startedAt > HANG_MS) throw new Error('took too long');
  for (const result of results) {
    if (typeof result !== 'object' || result === null || !('ok' in result) || result.ok === true) continue;
    const { why, at } = result as { why?: unknown; at?: unknown };
    if (typeof why !== 'string' || typeof at !== 'number' || at < 0)
      throw new Error('a refusal without place');
  }
}

/** Every length of every seed: truncation. */
export function truncations({ decode, seeds }: ByteCase): void {
  for (const seed of seeds) {
    for (let length = 0; length <= seed.length; length += 1) inTime(() => decode(seed.subarray(0, length)));
  }
}

/** Every octet of every seed set to values that lengths and counts like least. */
export function damagedOctets({ decode, seeds }: ByteCase): void {
  for (const seed of seeds) {
    for (let at = 0; at < Math.min(seed.length, 512); at += 1) {
      for (const octet of [0, 1, 0x7f, 0x80, 0xff]) {
        const damaged = seed.slice();
        damaged[at] = octet;
        inTime(() => decode(damaged));
      }
    }
  }
}

export function randomBytes({ decode }: ByteCase, numRuns: number): void {
  fc.assert(
    fc.property(fc.uint8Array({ maxLength: 2048 }), (bytes) => inTime(() => decode(bytes))),
    { numRuns },
  );
}

/** Seeds with runs of octets overwritten, cut and doubled: deeper than random bytes reach. */
export function mutations({ decode, seeds }: ByteCase, numRuns: number): void {
  const change = fc.record({
    at: fc.nat(),
    bytes: fc.uint8Array({ maxLength: 8 }),
    cut: fc.nat(4),
    twice: fc.boolean(),
  });
  fc.assert(
    fc.property(fc.constantFrom(...seeds), fc.array(change, { maxLength: 6 }), (seed, changes) => {
      let bytes: Uint8Array = seed;
      for (const { at, bytes: put, cut, twice } of changes) {
        const place = at % (bytes.length + 1);
        const tail = bytes.subarray(place + cut);
        bytes = Buffer.concat([bytes.subarray(0, place), put, tail, ...(twice ? [tail] : [])]).subarray(
          0,
          65_536,
        );
      }
      inTime(() => decode(bytes));
    }),
    { numRuns },
  );
}

export function randomText({ decode, seed }: TextCase, numRuns: number): void {
  const damaged = fc
    .tuple(fc.nat(seed.length), fc.string({ unit: 'binary', maxLength: 20 }), fc.nat(20))
    .map(([at, put, cut]) => seed.slice(0, at) + put + seed.slice(at + cut));
  const text = fc.oneof(fc.string({ unit: 'binary', maxLength: 500 }), damaged);
  fc.assert(
    fc.property(text, (said) => inTime(() => decode(said))),
    { numRuns },
  );
}
