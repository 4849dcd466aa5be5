/** Writers of capture files for tests: classic (draft-ietf-opsawg-pcap §4, §5) and pcapng (draft-ietf-opsawg-pcapng §4). */
export interface Format {
  readonly littleEndian: boolean;
  readonly nanoseconds?: boolean;
  readonly linkType?: number;
}

export interface Packet {
  readonly bytes: Uint8Array;
  readonly timeNs: bigint;
}

export function classicCapture(packets: readonly Packet[], format: Format): Uint8Array {
  const { littleEndian, nanoseconds = false, linkType = 1 } = format;
  return Buffer.concat([
    words(littleEndian, nanoseconds ? 0xa1b23c4d : 0xa1b2c3d4),
    halves(littleEndian, 2, 4),
    words(littleEndian, 0, 0, 262144, linkType),
    ...packets.flatMap(({ bytes, timeNs }) => [
      words(
        littleEndian,
        Number(timeNs / 1_000_000_000n),
        Number((timeNs % 1_000_000_000n) / (nanoseconds ? 1n : 1000n)),
        bytes.length,
        bytes.length,
      ),
      bytes,
    ]),
  ]);
}

export function block(littleEndian: boolean, type: number, body: Uint8Array): Uint8Array {
  const padding = (4 - (body.length % 4)) % 4;
  const size = 12 + body.length + padding;
  return Buffer.concat([
    words(littleEndian, type, size),
    body,
    new Uint8Array(padding),
    words(littleEndian, size),
  ]);
}

export function sectionHeader(littleEndian: boolean): Uint8Array {
  const body = [words(littleEndian, 0x1a2b3c4d), halves(littleEndian, 1, 0), new Uint8Array(8).fill(0xff)];
  return block(littleEndian, 0x0a0d0d0a, Buffer.concat(body));
}

/** `resolution` is the octet of if_tsresol; absent = microseconds. */
export function interfaceBlock(littleEndian: boolean, linkType: number, resolution?: number): Uint8Array {
  const options =
    resolution === undefined
      ? []
      : [
          halves(littleEndian, 2, 2),
          Buffer.from('v0\0\0'),
          halves(littleEndian, 9, 1),
          Uint8Array.of(resolution, 0, 0, 0),
          halves(littleEndian, 0, 0),
        ];
  const head = [halves(littleEndian, linkType, 0), words(littleEndian, 262144)];
  return block(littleEndian, 1, Buffer.concat([...head, ...options]));
}

export function enhancedPacket(
  littleEndian: boolean,
  interfaceIndex: number,
  units: bigint,
  bytes: Uint8Array,
): Uint8Array {
  const high = Number(units >> 32n);
  const low = Number(units & 0xffffffffn);
  const head = words(littleEndian, interfaceIndex, high, low, bytes.length, bytes.length);
  const padding = new Uint8Array((4 - (bytes.length % 4)) % 4);
  const comment = [halves(littleEndian, 1, 4), Buffer.from('seen'), halves(littleEndian, 0, 0)];
  return block(littleEndian, 6, Buffer.concat([head, bytes, padding, ...comment]));
}

export function simplePacket(littleEndian: boolean, bytes: Uint8Array): Uint8Array {
  return block(littleEndian, 3, Buffer.concat([words(littleEndian, bytes.length), bytes]));
}

export function words(littleEndian: boolean, ...values: number[]): Uint8Array {
  const view = new DataView(new ArrayBuffer(values.length * 4));
  values.forEach((value, index) => {
    view.setUint32(index * 4, value, littleEndian);
  });
  return new Uint8Array(view.buffer);
}

export function halves(littleEndian: boolean, ...values: number[]): Uint8Array {
  const view = new DataView(new ArrayBuffer(values.length * 2));
  values.forEach((value, index) => {
    view.setUint16(index * 2, value, littleEndian);
  });
  return new Uint8Array(view.buffer);
}

export interface Segment {
  readonly from: number;
  readonly to: number;
  readonly payload: Uint8Array;
}

/** One TCP segment in IPv4 in Ethernet (RFC 791, RFC 9293), checksums left zero, for decoders that want a whole frame. */
export function tcpFrame({ from, to, payload }: Segment): Uint8Array {
  return Buffer.concat([
    Buffer.from('00005e00530a00005e00530b0800', 'hex'),
    Buffer.from('4500', 'hex'),
    halves(false, 40 + payload.length, 1, 0),
    Buffer.from('40060000', 'hex'),
    // The lower port is that of the server, 192.0.2.45.
    Buffer.from(from < to ? 'c000022dc000020a' : 'c000020ac000022d', 'hex'),
    halves(false, from, to),
    words(false, 1, 1),
    Buffer.from('5018ffff00000000', 'hex'),
    payload,
  ]);
}

/** A conversation of two segments as a capture. */
export function tcpCapture(...segments: readonly Segment[]): Uint8Array {
  return classicCapture(
    segments.map((segment, index) => ({ bytes: tcpFrame(segment), timeNs: BigInt(index) * 1_000_000n })),
    { littleEndian: true },
  );
}
