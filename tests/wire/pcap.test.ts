import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { createCaptureReader } from '../../src/wire/pcap.js';
import { readCapture } from '../support/whole-capture.js';
import {
  block,
  classicCapture,
  enhancedPacket,
  interfaceBlock,
  sectionHeader,
  simplePacket,
  words,
} from './capture-bytes.js';
import { TSHARK, tsharkFields } from './tshark.js';

const FRAME = Uint8Array.from({ length: 61 }, (_, index) => index);
const OTHER = Uint8Array.from({ length: 14 }, () => 0xee);
/** Not a whole number of microseconds. */
const TIME = 1_700_000_000_123_456_789n;

const FORMATS = [
  { name: 'little endian, microseconds', littleEndian: true, nanoseconds: false },
  { name: 'little endian, nanoseconds', littleEndian: true, nanoseconds: true },
  { name: 'big endian, microseconds', littleEndian: false, nanoseconds: false },
  { name: 'big endian, nanoseconds', littleEndian: false, nanoseconds: true },
];

describe.each(FORMATS)('classic capture, $name', (format) => {
  const capture = classicCapture(
    [
      { bytes: FRAME, timeNs: TIME },
      { bytes: OTHER, timeNs: TIME + 1_000_000_000n },
    ],
    format,
  );
  const exact = format.nanoseconds ? TIME : TIME - 789n;

  it('is read whole and in single octets alike', () => {
    const { frames, refusal } = readCapture(capture);
    expect(refusal).toBeUndefined();
    expect(frames).toEqual([
      {
        bytes: FRAME,
        timeNs: exact,
        timeUs: 1_700_000_000_123_456,
        interfaceIndex: 0,
        linkType: 1,
        originalLength: 61,
      },
      expect.objectContaining({ bytes: OTHER, timeNs: exact + 1_000_000_000n }),
    ]);
    const reader = createCaptureReader();
    expect([...capture].flatMap((octet) => reader.push(Uint8Array.of(octet)))).toEqual(frames);
    expect(reader.end()).toBeUndefined();
  });

  it('keeps what was whole when it ends early, at every length', () => {
    const second = 24 + 16 + FRAME.length;
    for (let length = 0; length < capture.length; length += 1) {
      const { frames, refusal } = readCapture(capture.subarray(0, length));
      expect(frames.length).toBe(length >= second ? 1 : 0);
      const atBoundary = length === 24 || length === second;
      expect(refusal?.why).toBe(atBoundary ? undefined : 'truncated');
    }
  });

  it.skipIf(TSHARK === undefined)(`is what tshark ${TSHARK} reads from the same bytes`, () => {
    const [first] = tsharkFields(capture, ['frame.time_epoch', 'frame.cap_len']);
    expect(first).toEqual([`1700000000.${String(exact % 1_000_000_000n).padStart(9, '0')}`, '61']);
  });
});

describe('pcapng', () => {
  const packets = (littleEndian: boolean) => [
    sectionHeader(littleEndian),
    interfaceBlock(littleEndian, 1),
    interfaceBlock(littleEndian, 113, 9),
    interfaceBlock(littleEndian, 1, 0x80 | 20),
    block(littleEndian, 4, new Uint8Array(8)),
    enhancedPacket(littleEndian, 0, TIME / 1000n, FRAME),
    enhancedPacket(littleEndian, 1, TIME, FRAME),
    enhancedPacket(littleEndian, 2, (1_700_000_000n << 20n) + (1n << 19n), OTHER),
    simplePacket(littleEndian, OTHER),
    block(littleEndian, 0xbad, new Uint8Array(5)),
  ];
  const sections = Buffer.concat([...packets(true), ...packets(false)]);

  it('is read in both byte orders, with the time units of each interface, unknown blocks stepped over', () => {
    const { frames, refusal } = readCapture(sections);
    expect(refusal).toBeUndefined();
    const section = [
      { interfaceIndex: 0, linkType: 1, timeNs: TIME - 789n, bytes: FRAME },
      { interfaceIndex: 1, linkType: 113, timeNs: TIME, bytes: FRAME },
      { interfaceIndex: 2, linkType: 1, timeNs: 1_700_000_000_500_000_000n, bytes: OTHER },
      { interfaceIndex: 0, linkType: 1, bytes: OTHER, originalLength: 14 },
    ];
    expect(frames).toEqual([...section, ...section].map((frame) => expect.objectContaining(frame)));
    expect(frames[3]?.timeNs).toBeUndefined();
    const reader = createCaptureReader();
    expect([...sections].flatMap((octet) => reader.push(Uint8Array.of(octet)))).toEqual(frames);
  });

  it.skipIf(TSHARK === undefined)(`is what tshark ${TSHARK} reads from the same bytes`, () => {
    const rows = tsharkFields(Buffer.concat(packets(false)), ['frame.time_epoch', 'frame.cap_len']);
    expect(rows.slice(0, 3)).toEqual([
      ['1700000000.123456000', '61'],
      ['1700000000.123456789', '61'],
      ['1700000000.500000000', '14'],
    ]);
  });

  it.each([
    [
      'a frame of an interface that was not described',
      [sectionHeader(true), enhancedPacket(true, 0, 0n, OTHER)],
    ],
    ['a block longer than any we believe', [sectionHeader(true), words(true, 6, 0x7ffffff0, 0)]],
    ['a block shorter than its own frame of lengths', [sectionHeader(true), words(true, 6, 8, 8)]],
    ['two lengths that differ', [sectionHeader(true), words(true, 0xbad, 16, 0, 12)]],
    ['a length that is no multiple of four', [sectionHeader(true), words(true, 0xbad, 13, 0, 0)]],
  ])('refuses %s and trusts nothing after it', (_, parts) => {
    const good = Buffer.concat([
      sectionHeader(true),
      interfaceBlock(true, 1),
      enhancedPacket(true, 0, 0n, OTHER),
    ]);
    const { frames, refusal } = readCapture(Buffer.concat([good, ...parts, good]));
    expect(refusal).toMatchObject({ why: 'malformed' });
    expect(frames).toHaveLength(1);
  });
});

it('refuses a classic record of 2 GiB at its place, without asking for the memory', () => {
  const good = classicCapture([{ bytes: FRAME, timeNs: TIME }], { littleEndian: true });
  const reader = createCaptureReader();
  expect(reader.push(Buffer.concat([good, words(true, 0, 0, 0x7fffffff, 0x7fffffff)]))).toHaveLength(1);
  expect(reader.refusal).toMatchObject({ why: 'malformed', at: good.length + 8 });
  expect(reader.push(good)).toEqual([]);
});

it.each([
  ['text of a program that failed', 'tcpdump: no such device'],
  ['a compressed file', '\u001f\u008b\b\u0000'],
])('refuses %s as unsupported', (_, text) => {
  expect(readCapture(Buffer.from(text, 'latin1')).refusal).toMatchObject({ why: 'unsupported', at: 0 });
});

it.each(['arp-cases', 'arp-synthetic', 'lldp', 'neighbour-discovery'])(
  'reads %s.pcap, made by tcpdump and text2pcap',
  (name) => {
    const { frames, refusal } = readCapture(
      readFileSync(new URL(`../../fixtures/packets/${name}.pcap`, import.meta.url)),
    );
    expect(refusal).toBeUndefined();
    expect(frames.length).toBeGreaterThan(2);
    expect(frames.every((frame) => frame.linkType === 1 && frame.bytes.length === frame.originalLength)).toBe(
      true,
    );
  },
);
