/** Classic capture file: 24-octet header, then 16-octet record headers (draft-ietf-opsawg-pcap §4 and §5). */
import { type ByteOrder, u16, u32 } from './bytes.js';
import { refuse } from './decoded.js';
import { RECORD_LIMIT, type Step, type StepDecoder, stamped } from './pcap-frame.js';

const FILE_HEADER = 24;
const RECORD_HEADER = 16;
const MAGIC_MICRO = 0xa1b2c3d4;
const MAGIC_NANO = 0xa1b23c4d;

interface Format {
  readonly order: ByteOrder;
  readonly nanoseconds: boolean;
}

/** Format by the first four octets; undefined where they are no classic capture. */
export function classicFormat(bytes: Uint8Array): Format | undefined {
  for (const order of ['big', 'little'] as const) {
    const magic = u32(bytes, 0, order);
    if (magic === MAGIC_MICRO) return { order, nanoseconds: false };
    if (magic === MAGIC_NANO) return { order, nanoseconds: true };
  }
  return undefined;
}

export function createClassicDecoder(format: Format): StepDecoder {
  let linkType: number | undefined;
  return (waiting) => {
    if (linkType !== undefined) return record(waiting, format, linkType);
    if (waiting.length < FILE_HEADER) return { kind: 'need', bytes: FILE_HEADER };
    if (u16(waiting, 4, format.order) !== 2) {
      return { kind: 'refused', refusal: refuse('unsupported', 4, 'pcap: version is not 2.x') };
    }
    // The upper 16 bits tell of a frame check sequence, not of the link (§4).
    linkType = u32(waiting, 20, format.order) % 0x10000;
    return { kind: 'took', bytes: FILE_HEADER };
  };
}

function record(waiting: Uint8Array, { order, nanoseconds }: Format, linkType: number): Step {
  if (waiting.length < RECORD_HEADER) return { kind: 'need', bytes: RECORD_HEADER };
  const captured = u32(waiting, 8, order);
  if (captured > RECORD_LIMIT) {
    const refusal = refuse('malformed', 8, `pcap: a record of ${captured} octets`);
    return { kind: 'refused', refusal };
  }
  const size = RECORD_HEADER + captured;
  if (waiting.length < size) return { kind: 'need', bytes: size };
  const fraction = BigInt(u32(waiting, 4, order)) * (nanoseconds ? 1n : 1000n);
  return {
    kind: 'took',
    bytes: size,
    frame: {
      bytes: waiting.slice(RECORD_HEADER, size),
      ...stamped(BigInt(u32(waiting, 0, order)) * 1_000_000_000n + fraction),
      interfaceIndex: 0,
      linkType,
      originalLength: u32(waiting, 12, order),
    },
  };
}
