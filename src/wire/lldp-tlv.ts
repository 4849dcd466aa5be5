/** The TLV chain of an LLDP frame (IEEE 802.1AB §8.4): 7 bits of type, 9 of length, then the value. */
import { u16 } from './bytes.js';
import { type Decoded, decoded, refuse } from './decoded.js';

export interface Tlv {
  readonly type: number;
  readonly value: Uint8Array;
  /** Offset of the value from the start of the payload. */
  readonly at: number;
}

export const TLV = {
  end: 0,
  chassisId: 1,
  portId: 2,
  timeToLive: 3,
  portDescription: 4,
  systemName: 5,
  systemDescription: 6,
  capabilities: 7,
  managementAddress: 8,
  organisation: 127,
} as const;

/** Up to the End TLV, or to the end of the frame where there is none (optional since the 2016 edition). Padding after End is left. */
export function splitTlvs(payload: Uint8Array): Decoded<readonly Tlv[]> {
  const tlvs: Tlv[] = [];
  let at = 0;
  while (at < payload.length) {
    if (at + 2 > payload.length) return refuse('truncated', at, 'LLDP: half a TLV header');
    const header = u16(payload, at);
    const type = header >> 9;
    const length = header & 0x1ff;
    at += 2;
    if (type === TLV.end) break;
    if (at + length > payload.length) return refuse('truncated', at, 'LLDP: a TLV past the end');
    tlvs.push({ type, value: payload.subarray(at, at + length), at });
    at += length;
  }
  return decoded(tlvs);
}
