/**
 * Total readers over bytes: past the end an octet reads as zero and a slice is short, so nothing throws.
 * A decoder checks lengths first and refuses; these only keep a slip from becoming an exception.
 */
export type ByteOrder = 'big' | 'little';

export function u8(bytes: Uint8Array, at: number): number {
  return bytes[at] ?? 0;
}

export function u16(bytes: Uint8Array, at: number, order: ByteOrder = 'big'): number {
  const first = u8(bytes, at);
  const second = u8(bytes, at + 1);
  return order === 'big' ? first * 0x100 + second : second * 0x100 + first;
}

/** Unsigned, so it may exceed 2^31. */
export function u32(bytes: Uint8Array, at: number, order: ByteOrder = 'big'): number {
  const first = u16(bytes, at, order);
  const second = u16(bytes, at + 2, order);
  return order === 'big' ? first * 0x10000 + second : second * 0x10000 + first;
}

export function concat(parts: readonly Uint8Array[]): Uint8Array {
  const all = new Uint8Array(parts.reduce((sum, part) => sum + part.length, 0));
  let at = 0;
  for (const part of parts) {
    all.set(part, at);
    at += part.length;
  }
  return all;
}

const UTF8 = new TextDecoder('utf-8', { fatal: false, ignoreBOM: true });

/** UTF-8 with bad sequences as U+FFFD. */
export function textOf(bytes: Uint8Array): string {
  return UTF8.decode(bytes);
}
