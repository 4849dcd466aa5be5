/** Chassis and port identifiers and management addresses of LLDP: subtype names as LLDP-MIB (2005) spells them. */
import { macFromBytes } from '../plan/mac.js';
import { cleanText } from '../text/clean.js';
import { addressFromBytes } from './address-bytes.js';
import { textOf, u8 } from './bytes.js';

/** LldpChassisIdSubtype. A MAC is 4 here and 3 in the other list. */
const CHASSIS_SUBTYPES = [
  'reserved',
  'chassisComponent',
  'interfaceAlias',
  'portComponent',
  'macAddress',
  'networkAddress',
  'interfaceName',
  'local',
] as const;

/** LldpPortIdSubtype. */
const PORT_SUBTYPES = [
  'reserved',
  'interfaceAlias',
  'portComponent',
  'macAddress',
  'networkAddress',
  'interfaceName',
  'agentCircuitId',
  'local',
] as const;

/** LldpChassisId and LldpPortId: SIZE (1..255). */
const ID_LIMIT = 255;

export interface LldpId {
  readonly subtype: string;
  /** MAC and address in their canonical forms, text cleaned, all else as hex octets. */
  readonly id: string;
}

export function chassisId(value: Uint8Array): LldpId {
  return identifier(value, CHASSIS_SUBTYPES);
}

export function portId(value: Uint8Array): LldpId {
  return identifier(value, PORT_SUBTYPES);
}

function identifier(value: Uint8Array, subtypes: readonly string[]): LldpId {
  const subtype = subtypes[u8(value, 0)] ?? 'reserved';
  const body = value.subarray(1, 1 + ID_LIMIT);
  if (subtype === 'macAddress' && body.length === 6) return { subtype, id: macFromBytes(body) };
  if (subtype === 'networkAddress') return { subtype, id: networkAddress(body) ?? macFromBytes(body) };
  return { subtype, id: isText(body) ? cleanText(textOf(body)) : macFromBytes(body) };
}

/** An address with its family octet in front: 1 IPv4, 2 IPv6 (IANA address family numbers). */
export function networkAddress(bytes: Uint8Array): string | undefined {
  const family = u8(bytes, 0);
  const address = bytes.subarray(1);
  const size = family === 1 ? 4 : family === 2 ? 16 : 0;
  return address.length === size ? addressFromBytes(address) : undefined;
}

function isText(bytes: Uint8Array): boolean {
  return bytes.every((byte) => byte >= 0x20 && byte !== 0x7f) && !textOf(bytes).includes('\ufffd');
}
