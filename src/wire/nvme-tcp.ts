/** NVMe/TCP: opening of a transport connection (NVM Express TCP Transport Specification, ICReq and ICResp; from memory, tshark reads it). */
import { u8, u16, u32 } from './bytes.js';
import { type Decoded, decoded, refuse } from './decoded.js';

const INITIALIZE_REQUEST = 0x00;
const INITIALIZE_RESPONSE = 0x01;
const CONTROLLER_TERMINATES = 0x03;
/** Both have 128 octets: a common header of 8 (type, flags, header length, data offset, length), then the parameters. */
const SIZE = 128;

/** Format version 0, no alignment, no digests, one R2T. It opens the transport; the NVMe Connect command would come after, and never does. */
export function encodeInitializeRequest(): Uint8Array {
  const bytes = new Uint8Array(SIZE);
  const view = new DataView(bytes.buffer);
  bytes[0] = INITIALIZE_REQUEST;
  bytes[2] = SIZE;
  view.setUint32(4, SIZE, true);
  return bytes;
}

export type NvmeReply =
  | { readonly kind: 'initialized'; readonly formatVersion: number; readonly maxDataOctets: number }
  /** The controller ends the connection, in the protocol's own words. */
  | { readonly kind: 'terminated'; readonly status: number };

/** Undefined where the reply is not whole yet. */
export function decodeNvmeReply(waiting: Uint8Array): Decoded<NvmeReply | undefined> {
  const type = u8(waiting, 0);
  if (waiting.length > 0 && type !== INITIALIZE_RESPONSE && type !== CONTROLLER_TERMINATES) {
    return refuse('malformed', 0, 'NVMe/TCP: no answer of a controller');
  }
  if (waiting.length < 24) return decoded(undefined);
  const size = u32(waiting, 4, 'little');
  if (type === CONTROLLER_TERMINATES) {
    if (u8(waiting, 2) !== 24 || size < 24 || size > 152)
      return refuse('malformed', 2, 'NVMe/TCP: wrong lengths');
    return decoded({ kind: 'terminated', status: u16(waiting, 8, 'little') });
  }
  if (u8(waiting, 2) !== SIZE || size !== SIZE) return refuse('malformed', 2, 'NVMe/TCP: wrong lengths');
  if (waiting.length < SIZE) return decoded(undefined);
  return decoded({
    kind: 'initialized',
    formatVersion: u16(waiting, 8, 'little'),
    maxDataOctets: u32(waiting, 12, 'little'),
  });
}
