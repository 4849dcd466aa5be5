/** SMB2 NEGOTIATE over TCP 445, as far as it proves that a file server speaks ([MS-SMB2] §2.2.1 to §2.2.4, from memory; tshark reads it). */
import { u16, u32 } from './bytes.js';
import { type Decoded, decoded, refuse } from './decoded.js';

/** 0xFE "SMB". */
const PROTOCOL = 0xfe534d42;
const HEADER = 64;
const NEGOTIATE = 0;
/** SMB2_FLAGS_SERVER_TO_REDIR. */
const FROM_SERVER = 0x1;
/** Dialects that need no negotiate contexts: 2.0.2, 2.1, 3.0, 3.0.2. A server of 3.1.1 speaks these too. */
const DIALECTS = [0x0202, 0x0210, 0x0300, 0x0302] as const;
const DIALECT_NAMES: Readonly<Record<number, string>> = {
  514: '2.0.2',
  528: '2.1',
  767: '2.x',
  768: '3.0',
  770: '3.0.2',
  785: '3.1.1',
};
/** Direct TCP length field: a zero octet and 24 bits. A NEGOTIATE reply is a few hundred octets. */
const REPLY_LIMIT = 65_536;

export function encodeSmbNegotiate(clientGuid: Uint8Array): Uint8Array {
  const bodyAt = 4 + HEADER;
  const length = HEADER + 36 + DIALECTS.length * 2;
  const bytes = new Uint8Array(4 + length);
  const view = new DataView(bytes.buffer);
  view.setUint32(0, length);
  view.setUint32(4, PROTOCOL);
  view.setUint16(8, HEADER, true);
  // Command 0 at 12, one credit asked for at 14, all else of the header zero: no session, no tree, no signature.
  view.setUint16(4 + 14, 1, true);
  view.setUint16(bodyAt, 36, true);
  view.setUint16(bodyAt + 2, DIALECTS.length, true);
  // Signing enabled, not required.
  view.setUint16(bodyAt + 4, 1, true);
  bytes.set(clientGuid.subarray(0, 16), bodyAt + 12);
  for (const [index, dialect] of DIALECTS.entries()) view.setUint16(bodyAt + 36 + index * 2, dialect, true);
  return bytes;
}

export interface SmbReply {
  /** NTSTATUS; 0 = success. */
  readonly status: number;
  /** `3.0.2`, or hex where unknown; absent where the status is an error. */
  readonly dialect?: string | undefined;
}

/** Undefined where the reply is not whole yet. */
export function decodeSmbReply(waiting: Uint8Array): Decoded<SmbReply | undefined> {
  if (waiting.length < 8) return decoded(undefined);
  const length = u32(waiting, 0);
  if (length > REPLY_LIMIT || length < HEADER)
    return refuse('malformed', 0, `SMB: a message of ${length} octets`);
  if (u32(waiting, 4) !== PROTOCOL) return refuse('malformed', 4, 'SMB: no SMB2 header');
  if (waiting.length < 4 + length) return decoded(undefined);
  const header = waiting.subarray(4);
  if (u16(header, 4, 'little') !== HEADER || u16(header, 12, 'little') !== NEGOTIATE) {
    return refuse('malformed', 16, 'SMB: no NEGOTIATE');
  }
  if ((u32(header, 16, 'little') & FROM_SERVER) === 0) return refuse('malformed', 20, 'SMB: no response');
  const status = u32(header, 8, 'little');
  if (status !== 0) return decoded({ status });
  if (length < HEADER + 64 || u16(header, HEADER, 'little') !== 65) {
    return refuse('malformed', 4 + HEADER, 'SMB: a NEGOTIATE response of another size');
  }
  const dialect = u16(header, HEADER + 4, 'little');
  return decoded({ status, dialect: DIALECT_NAMES[dialect] ?? `0x${dialect.toString(16)}` });
}
