/** ONC RPC version 2 over TCP (RFC 5531): the NULL call and its reply. It carries no credential. */
import { u32 } from './bytes.js';
import { type Decoded, decoded, refuse } from './decoded.js';

/** Program numbers: RFC 1833 §3, RFC 7530 §16. */
export const RPC_PROGRAM = { portmapper: 100_000, nfs: 100_003 } as const;

const CALL = 0;
const REPLY = 1;
const RPC_VERSION = 2;
/** Bit 31 of the record mark: last fragment (RFC 5531 §11). */
const LAST_FRAGMENT = 0x80000000;
/** A NULL reply is 24 octets, or 32 with versions, and a verifier of at most 400 (RFC 5531 §8.2). */
const FRAGMENT_LIMIT = 512;

/** Procedure 0 with AUTH_NONE twice: ten words behind the record mark (RFC 5531 §9). */
export function encodeNullCall(xid: number, program: number, version: number): Uint8Array {
  const words = [xid, CALL, RPC_VERSION, program, version, 0, 0, 0, 0, 0];
  const view = new DataView(new ArrayBuffer(4 + words.length * 4));
  view.setUint32(0, LAST_FRAGMENT + words.length * 4);
  for (const [index, word] of words.entries()) view.setUint32(4 + index * 4, word);
  return new Uint8Array(view.buffer);
}

export type RpcStatus =
  | 'success'
  | 'program-unavailable'
  | 'program-mismatch'
  | 'procedure-unavailable'
  | 'garbage-arguments'
  | 'system-error'
  | 'denied';

export interface RpcReply {
  readonly xid: number;
  readonly status: RpcStatus;
  /** Lowest and highest version the server has, told with `program-mismatch`. */
  readonly versions?: { readonly low: number; readonly high: number } | undefined;
}

/** accept_stat of RFC 5531 §9. */
const ACCEPT_STATUS: readonly RpcStatus[] = [
  'success',
  'program-unavailable',
  'program-mismatch',
  'procedure-unavailable',
  'garbage-arguments',
  'system-error',
];

/** The first record of what waits; undefined where it is not whole yet. Replies in several fragments are not read. */
export function takeRpcReply(
  waiting: Uint8Array,
): Decoded<{ readonly reply: RpcReply; readonly size: number } | undefined> {
  if (waiting.length < 4) return decoded(undefined);
  const mark = u32(waiting, 0);
  const length = mark % LAST_FRAGMENT;
  if (length > FRAGMENT_LIMIT || length < 12)
    return refuse('malformed', 0, `RPC: a record of ${length} octets`);
  if (mark < LAST_FRAGMENT) return refuse('unsupported', 0, 'RPC: a reply in several fragments');
  const size = 4 + length;
  if (waiting.length < size) return decoded(undefined);
  const reply = decodeReply(waiting.subarray(4, size));
  return reply.ok ? decoded({ reply: reply.value, size }) : reply;
}

function decodeReply(message: Uint8Array): Decoded<RpcReply> {
  if (u32(message, 4) !== REPLY) return refuse('malformed', 8, 'RPC: no reply');
  const xid = u32(message, 0);
  const replyStatus = u32(message, 8);
  if (replyStatus === 1) return decoded({ xid, status: 'denied' });
  if (replyStatus !== 0) return refuse('malformed', 12, 'RPC: neither accepted nor denied');
  const verifier = u32(message, 16);
  const at = 20 + Math.ceil(verifier / 4) * 4;
  if (verifier > 400 || at + 4 > message.length)
    return refuse('malformed', 20, 'RPC: a verifier past the end');
  const status = ACCEPT_STATUS[u32(message, at)];
  if (status === undefined) return refuse('malformed', at + 4, 'RPC: an unknown status');
  if (status !== 'program-mismatch') return decoded({ xid, status });
  return decoded({ xid, status, versions: { low: u32(message, at + 4), high: u32(message, at + 8) } });
}
