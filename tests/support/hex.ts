/** Bytes as hexadecimal text, as fixtures and documents write them. What is no digit is left out. */
export function fromHex(hex: string): Uint8Array {
  const pairs = hex.replace(/[^0-9a-f]/gi, '').match(/../g) ?? [];
  return Uint8Array.from(pairs, (pair) => Number.parseInt(pair, 16));
}

export function toHex(bytes: Uint8Array): string {
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
}
