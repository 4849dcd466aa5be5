/** pcapng as dumpcap writes it: section header, interface, enhanced and simple packet blocks (draft-ietf-opsawg-pcapng §3, §4). */
import { type ByteOrder, u8, u16, u32 } from './bytes.js';
import { type Refusal, refuse } from './decoded.js';
import { type CaptureFrame, RECORD_LIMIT, type Step, type StepDecoder, stamped } from './pcap-frame.js';

/** Reads the same in both byte orders (§4.1), so it tells where a section begins before the order is known. */
export const SECTION_HEADER = 0x0a0d0d0a;
const INTERFACE_DESCRIPTION = 1;
const SIMPLE_PACKET = 3;
const ENHANCED_PACKET = 6;
const BYTE_ORDER_MAGIC = 0x1a2b3c4d;
/** Type, total length, total length again (§3.1). */
const SMALLEST_BLOCK = 12;
/** More interfaces than any section has that we read; a bound on memory. */
const INTERFACE_LIMIT = 1024;
const OPTION_END = 0;
const OPTION_TSRESOL = 9;
const OPTION_TSOFFSET = 14;

interface Interface {
  readonly linkType: number;
  readonly snapLength: number;
  /** Time units in a second (§4.2 if_tsresol). */
  readonly unitsPerSecond: bigint;
  readonly offsetSeconds: bigint;
}

export function createPcapngDecoder(): StepDecoder {
  let order: ByteOrder = 'little';
  let interfaces: Interface[] = [];

  return (waiting) => {
    if (waiting.length < SMALLEST_BLOCK) return { kind: 'need', bytes: SMALLEST_BLOCK };
    const section = u32(waiting, 0) === SECTION_HEADER;
    if (section) {
      const found = orderOf(waiting);
      if (found === undefined) return refused('malformed', 8, 'no byte-order magic');
      order = found;
    }
    const type = u32(waiting, 0, order);
    const size = u32(waiting, 4, order);
    // A packet block is a frame and 32 octets around it; the rest is options.
    if (size < SMALLEST_BLOCK || size % 4 !== 0 || size > RECORD_LIMIT + 4096) {
      return refused('malformed', 4, `a block of ${size} octets`);
    }
    if (waiting.length < size) return { kind: 'need', bytes: size };
    if (u32(waiting, size - 4, order) !== size) {
      return refused('malformed', size - 4, 'the two lengths of a block differ');
    }
    const block = waiting.subarray(0, size);
    if (section) {
      if (size < 28) return refused('malformed', 4, 'a section header of too few octets');
      if (u16(block, 12, order) !== 1) return refused('unsupported', 12, 'version is not 1.x');
      interfaces = [];
    } else if (type === INTERFACE_DESCRIPTION) {
      if (size < 20) return refused('malformed', 4, 'an interface block of too few octets');
      if (interfaces.length >= INTERFACE_LIMIT) return refused('malformed', 0, 'too many interfaces');
      interfaces.push(interfaceOf(block, order));
    } else if (type === ENHANCED_PACKET || type === SIMPLE_PACKET) {
      const frame = type === ENHANCED_PACKET ? enhanced(block) : simple(block);
      return 'ok' in frame ? { kind: 'refused', refusal: frame } : { kind: 'took', bytes: size, frame };
    }
    return { kind: 'took', bytes: size };
  };

  /** §4.3: interface, time high, time low, captured, original, data. */
  function enhanced(block: Uint8Array): CaptureFrame | Refusal {
    const interfaceIndex = u32(block, 8, order);
    const from = interfaces[interfaceIndex];
    if (from === undefined) return refuse('malformed', 8, 'pcapng: a frame of an interface not described');
    const captured = u32(block, 20, order);
    if (captured > block.length - 32) return refuse('malformed', 20, 'pcapng: frame longer than its block');
    const units = BigInt(u32(block, 12, order)) * 0x1_0000_0000n + BigInt(u32(block, 16, order));
    const timeNs = (units * 1_000_000_000n) / from.unitsPerSecond + from.offsetSeconds * 1_000_000_000n;
    return {
      bytes: block.slice(28, 28 + captured),
      ...stamped(timeNs),
      interfaceIndex,
      linkType: from.linkType,
      originalLength: u32(block, 24, order),
    };
  }

  /** §4.4: original length, data; always the first interface, no time. */
  function simple(block: Uint8Array): CaptureFrame | Refusal {
    const from = interfaces[0];
    if (from === undefined || block.length < 16)
      return refuse('malformed', 0, 'pcapng: a frame of no interface');
    const originalLength = u32(block, 8, order);
    const kept = Math.min(originalLength, block.length - 16, from.snapLength || Number.POSITIVE_INFINITY);
    return {
      bytes: block.slice(12, 12 + kept),
      interfaceIndex: 0,
      linkType: from.linkType,
      originalLength,
    };
  }
}

function orderOf(bytes: Uint8Array): ByteOrder | undefined {
  if (u32(bytes, 8, 'big') === BYTE_ORDER_MAGIC) return 'big';
  return u32(bytes, 8, 'little') === BYTE_ORDER_MAGIC ? 'little' : undefined;
}

/** §4.2: link type, reserved, snapshot length, options. Options past a bad one are left. */
function interfaceOf(block: Uint8Array, order: ByteOrder): Interface {
  let unitsPerSecond = 1_000_000n;
  let offsetSeconds = 0n;
  let at = 16;
  while (at + 4 <= block.length - 4) {
    const code = u16(block, at, order);
    const length = u16(block, at + 2, order);
    if (code === OPTION_END || at + 4 + length > block.length - 4) break;
    if (code === OPTION_TSRESOL && length === 1) unitsPerSecond = resolutionOf(u8(block, at + 4));
    if (code === OPTION_TSOFFSET && length === 8) offsetSeconds = signed64(block, at + 4, order);
    at += 4 + Math.ceil(length / 4) * 4;
  }
  return { linkType: u16(block, 8, order), snapLength: u32(block, 12, order), unitsPerSecond, offsetSeconds };
}

/** §4.2 if_tsresol: a negative power of two where the top bit is set, else of ten. */
function resolutionOf(octet: number): bigint {
  const exponent = BigInt(octet & 0x7f);
  return (octet & 0x80) === 0 ? 10n ** exponent : 2n ** exponent;
}

function signed64(bytes: Uint8Array, at: number, order: ByteOrder): bigint {
  const first = BigInt(u32(bytes, at, order));
  const second = BigInt(u32(bytes, at + 4, order));
  return BigInt.asIntN(64, order === 'big' ? (first << 32n) | second : (second << 32n) | first);
}

function refused(why: Refusal['why'], at: number, detail: string): Step {
  return { kind: 'refused', refusal: refuse(why, at, `pcapng: ${detail}`) };
}
