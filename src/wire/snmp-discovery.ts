/**
 * The one SNMP exchange that needs no secret: an empty SNMPv3 request, which an agent answers with a report that carries its
 * engine id (RFC 3414 §4). Bytes only.
 */

const SEQUENCE = 0x30;
const INTEGER = 0x02;
const OCTETS = 0x04;
const GET_REQUEST = 0xa0;
const REPORT = 0xa8;
/** msgFlags: reportable, neither authentication nor privacy (RFC 3412 §6.4). */
const REPORTABLE = 0x04;
/** msgSecurityModel: User-based (RFC 3411 §5). */
const USM = 3;
/** Largest message we take, in octets (RFC 3412 §6.3). */
const MAX_SIZE = 65507;

/** Ids: 1 to 2147483647 (RFC 3412 §6.2). */
export function encodeDiscovery(messageId: number, requestId: number = messageId): Uint8Array {
  const empty = tlv(OCTETS);
  const header = tlv(
    SEQUENCE,
    integer(messageId),
    integer(MAX_SIZE),
    tlv(OCTETS, [REPORTABLE]),
    integer(USM),
  );
  const security = tlv(OCTETS, tlv(SEQUENCE, empty, integer(0), integer(0), empty, empty, empty));
  const pdu = tlv(GET_REQUEST, integer(requestId), integer(0), integer(0), tlv(SEQUENCE));
  return Uint8Array.from(tlv(SEQUENCE, integer(3), header, security, tlv(SEQUENCE, empty, empty, pdu)));
}

export type Discovery =
  | { readonly kind: 'engine'; readonly messageId: number; readonly engineId: string }
  | { readonly kind: 'not-snmpv3' };

/** Engine id as lower-case hex. Only a report (RFC 3412 §6.8) from an engine with a name of 5 to 32 octets counts. */
export function decodeDiscovery(bytes: Uint8Array): Discovery {
  const message = children(bytes, SEQUENCE);
  const [version, header, security, scoped] = message ?? [];
  if (version === undefined || readInteger(version) !== 3) return NOT_SNMPV3;
  const [messageId] = childrenOf(header, SEQUENCE);
  const [usm] = security?.tag === OCTETS ? read(security.body) : [];
  const [engine] = childrenOf(usm, SEQUENCE);
  const [, , pdu] = childrenOf(scoped, SEQUENCE);
  const id = messageId === undefined ? undefined : readInteger(messageId);
  if (id === undefined || engine?.tag !== OCTETS || pdu?.tag !== REPORT) return NOT_SNMPV3;
  // SnmpEngineID SIZE (5..32), RFC 3411 §5.
  if (engine.body.length < 5 || engine.body.length > 32) return NOT_SNMPV3;
  return { kind: 'engine', messageId: id, engineId: Buffer.from(engine.body).toString('hex') };
}

const NOT_SNMPV3: Discovery = { kind: 'not-snmpv3' };

interface Field {
  readonly tag: number;
  readonly body: Uint8Array;
}

function children(bytes: Uint8Array, tag: number): readonly Field[] | undefined {
  const [field] = read(bytes);
  return field?.tag === tag ? read(field.body) : undefined;
}

function childrenOf(field: Field | undefined, tag: number): readonly Field[] {
  return field?.tag === tag ? read(field.body) : [];
}

/** Fields side by side, up to the first that does not fit its surroundings (X.690 §8.1). */
function read(bytes: Uint8Array): readonly Field[] {
  const fields: Field[] = [];
  let offset = 0;
  while (offset + 2 <= bytes.length && fields.length < 16) {
    const tag = bytes[offset] ?? 0;
    const first = bytes[offset + 1] ?? 0;
    const lengthOctets = first < 0x80 ? 0 : first & 0x7f;
    if (lengthOctets > 4 || first === 0x80) break;
    const start = offset + 2 + lengthOctets;
    if (start > bytes.length) break;
    const length = lengthOctets === 0 ? first : bigEndian(bytes.subarray(offset + 2, start));
    if (start + length > bytes.length) break;
    fields.push({ tag, body: bytes.subarray(start, start + length) });
    offset = start + length;
  }
  return fields;
}

function readInteger(field: Field): number | undefined {
  if (field.tag !== INTEGER || field.body.length === 0 || field.body.length > 4) return undefined;
  return bigEndian(field.body);
}

function bigEndian(bytes: Uint8Array): number {
  return bytes.reduce((sum, byte) => sum * 256 + byte, 0);
}

function tlv(tag: number, ...parts: readonly (readonly number[])[]): number[] {
  const body = parts.flat();
  if (body.length > 0x7f) throw new RangeError('a discovery message has no field this long');
  return [tag, body.length, ...body];
}

function integer(value: number): number[] {
  const octets: number[] = [];
  let rest = value;
  do {
    octets.unshift(rest & 0xff);
    rest = Math.floor(rest / 256);
  } while (rest > 0);
  if ((octets[0] ?? 0) >= 0x80) octets.unshift(0);
  return tlv(INTEGER, octets);
}
