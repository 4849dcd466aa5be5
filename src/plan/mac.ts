/** MAC addresses: four written notations in, one canonical out (lower case, colons). RFC 9542 §2.1 for the bits. */

const NOTATIONS = [
  /^([0-9a-f]{2})([:-])(?:[0-9a-f]{2}\2){4}[0-9a-f]{2}$/i,
  /^[0-9a-f]{4}\.[0-9a-f]{4}\.[0-9a-f]{4}$/i,
  /^[0-9a-f]{12}$/i,
  /^[0-9a-f]{6}-[0-9a-f]{6}$/i,
];

export function parseMac(text: string): string | undefined {
  const trimmed = text.trim();
  if (!NOTATIONS.some((notation) => notation.test(trimmed))) return undefined;
  return macFromHex(trimmed.replace(/[^0-9a-f]/gi, ''));
}

export function macFromBytes(bytes: Uint8Array): string {
  let text = '';
  for (const byte of bytes) text += text === '' ? HEX[byte] : `:${HEX[byte]}`;
  return text;
}

const HEX = Array.from({ length: 256 }, (_, byte) => byte.toString(16).padStart(2, '0'));

function macFromHex(hex: string): string {
  return (hex.toLowerCase().match(/../g) ?? []).join(':');
}

/** Group bit (RFC 9542 §2.1.1): never a station's own address. */
export function isGroupMac(mac: string): boolean {
  return (Number.parseInt(mac.slice(0, 2), 16) & 0x01) === 0x01;
}

export function isLocallyAdministered(mac: string): boolean {
  return (Number.parseInt(mac.slice(0, 2), 16) & 0x02) === 0x02;
}

/** VRRP virtual router MAC, IPv4 or IPv6, VRID 1 to 255 (RFC 9568 §7.3). */
export function isVirtualRouterMac(mac: string): boolean {
  return /^00:00:5e:00:0[12]:(?!00)[0-9a-f]{2}$/.test(mac);
}
