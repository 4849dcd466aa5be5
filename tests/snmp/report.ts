/** A report of an SNMPv3 engine (RFC 3412 §6, RFC 3414 §2.4), unauthenticated, in answer to a question. Independent of net-snmp. */

const ENGINE_ID = Buffer.from('8000b98380aabbccdd', 'hex');
const USM_STATS = [0x2b, 6, 1, 6, 3, 15, 1, 1];

export function report(question: Uint8Array, counter: number): Uint8Array {
  const message = fields(question)[0]?.body ?? new Uint8Array();
  const [, header, , scoped] = fields(message);
  const id = fields(header?.body ?? new Uint8Array())[0]?.body ?? new Uint8Array([0]);
  const pdu = fields(scoped?.body ?? new Uint8Array())[2];
  const requestId = fields(pdu?.body ?? new Uint8Array())[0]?.body ?? new Uint8Array([0]);
  const empty = tlv(4, []);
  const head = tlv(0x30, [...tlv(2, [...id]), ...tlv(2, [0x05, 0xc0]), ...tlv(4, [0]), ...tlv(2, [3])]);
  const security = tlv(4, [
    ...tlv(0x30, [...tlv(4, [...ENGINE_ID]), ...tlv(2, [1]), ...tlv(2, [100]), ...empty, ...empty, ...empty]),
  ]);
  const bind = tlv(0x30, [...tlv(6, [...USM_STATS, counter, 0]), ...tlv(0x41, [1])]);
  const body = [...tlv(2, [...requestId]), ...tlv(2, [0]), ...tlv(2, [0]), ...tlv(0x30, bind)];
  const data = tlv(0x30, [...tlv(4, [...ENGINE_ID]), ...empty, ...tlv(0xa8, body)]);
  return Uint8Array.from(tlv(0x30, [...tlv(2, [3]), ...head, ...security, ...data]));
}

function tlv(tag: number, body: readonly number[]): number[] {
  return body.length < 0x80 ? [tag, body.length, ...body] : [tag, 0x81, body.length, ...body];
}

function fields(bytes: Uint8Array): { readonly tag: number; readonly body: Uint8Array }[] {
  const found: { tag: number; body: Uint8Array }[] = [];
  for (let at = 0; at + 2 <= bytes.length; ) {
    const short = bytes[at + 1] ?? 0;
    const more = short < 0x80 ? 0 : short & 0x7f;
    const start = at + 2 + more;
    const length =
      more === 0 ? short : bytes.subarray(at + 2, start).reduce((sum, octet) => sum * 256 + octet, 0);
    found.push({ tag: bytes[at] ?? 0, body: bytes.subarray(start, start + length) });
    at = start + length;
  }
  return found;
}
