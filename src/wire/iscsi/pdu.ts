/** iSCSI protocol data units (RFC 7143 §11): a 48-octet header, additional header segments, a data segment padded to 4 octets. */
import { concat, u8, u16, u32 } from '../bytes.js';
import { type Decoded, decoded, refuse } from '../decoded.js';

/** RFC 7143 §11.2.1.2. */
export const OPCODE = {
  nopOut: 0x00,
  loginRequest: 0x03,
  textRequest: 0x04,
  logoutRequest: 0x06,
  nopIn: 0x20,
  loginResponse: 0x23,
  textResponse: 0x24,
  logoutResponse: 0x26,
  asyncMessage: 0x32,
  reject: 0x3f,
} as const;

const HEADER_SIZE = 48;
/** Largest data segment believed, in octets. We declare MaxRecvDataSegmentLength 65536; the field could say 16 MiB. */
export const DATA_SEGMENT_LIMIT = 65_536;
/** RFC 7143 §11.2.1.2: "immediate" in the first octet. */
export const IMMEDIATE = 0x40;
/** F of most PDUs, T of login ones (§11.12.1). */
export const FINAL = 0x80;
/** C: the text goes on in the next PDU (§11.10.2, §11.12.2). */
export const CONTINUE = 0x40;
/** The reserved value of both task tags (§11.10.4, §11.18.1). */
export const NO_TAG = 0xffffffff;

export interface Pdu {
  readonly opcode: number;
  readonly flags: number;
  /** All 48 octets, for the fields of one kind of PDU. */
  readonly header: Uint8Array;
  readonly data: Uint8Array;
}

export interface PduHead {
  readonly opcode: number;
  readonly flags?: number;
  /** ISID and TSIH, or LUN: octets 8 to 15. */
  readonly octets8to15?: Uint8Array;
  readonly taskTag: number;
  /** Octets 20 to 23: CID, target transfer tag, or reserved. */
  readonly word20?: number;
  readonly commandNumber: number;
  readonly expectedStatus: number;
}

export function encodePdu(head: PduHead, data: Uint8Array = new Uint8Array(0)): Uint8Array {
  const header = new Uint8Array(HEADER_SIZE);
  const view = new DataView(header.buffer);
  header[0] = head.opcode;
  header[1] = head.flags ?? FINAL;
  view.setUint32(4, data.length & 0xffffff);
  header.set(head.octets8to15?.subarray(0, 8) ?? [], 8);
  view.setUint32(16, head.taskTag);
  view.setUint32(20, head.word20 ?? 0);
  view.setUint32(24, head.commandNumber);
  view.setUint32(28, head.expectedStatus);
  return concat([header, data, new Uint8Array(padding(data.length))]);
}

/** The first PDU of what waits; undefined where it is not whole yet. */
export function takePdu(
  waiting: Uint8Array,
): Decoded<{ readonly pdu: Pdu; readonly size: number } | undefined> {
  if (waiting.length < HEADER_SIZE) return decoded(undefined);
  const dataLength = u32(waiting, 4) % 0x1000000;
  if (dataLength > DATA_SEGMENT_LIMIT) {
    return refuse('malformed', 5, `iSCSI: a data segment of ${dataLength} octets`);
  }
  // TotalAHSLength counts words of 4 octets (§11.2.1.5).
  const dataAt = HEADER_SIZE + u8(waiting, 4) * 4;
  const size = dataAt + dataLength + padding(dataLength);
  if (waiting.length < size) return decoded(undefined);
  return decoded({
    size,
    pdu: {
      opcode: u8(waiting, 0) & 0x3f,
      flags: u8(waiting, 1),
      header: waiting.slice(0, HEADER_SIZE),
      data: waiting.slice(dataAt, dataAt + dataLength),
    },
  });
}

/**
 * Whether the first octet can open the answer of a target to a login: a login response or a reject, nothing else is allowed before the
 * full-feature phase (RFC 7143 §7.2). The rest speaks another protocol; "220 " of a mail greeting would pass for an asynchronous message.
 */
export function opensLikeTarget(first: number): boolean {
  return first === OPCODE.loginResponse || first === OPCODE.reject;
}

export function taskTag({ header }: Pdu): number {
  return u32(header, 16);
}

/** Target transfer tag of text responses and NOP-In. */
export function transferTag({ header }: Pdu): number {
  return u32(header, 20);
}

export function statusNumber({ header }: Pdu): number {
  return u32(header, 24);
}

/** Status class and detail of a login response, four hex digits (§11.13.5). */
export function loginStatus({ header }: Pdu): string {
  return u16(header, 36).toString(16).padStart(4, '0');
}

function padding(length: number): number {
  return (4 - (length % 4)) % 4;
}
