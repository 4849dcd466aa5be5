import type { Refusal } from './decoded.js';

/** One captured frame, as it was on the link (cut to what the capture kept). */
export interface CaptureFrame {
  readonly bytes: Uint8Array;
  /** Nanoseconds since 1970 UTC; absent where the block has no time (pcapng simple packet). */
  readonly timeNs?: bigint | undefined;
  /** The same in microseconds, as a number that arithmetic is easy with. */
  readonly timeUs?: number | undefined;
  readonly interfaceIndex: number;
  /** LINKTYPE_ value of the pcap registry: 1 Ethernet, 113 and 276 Linux cooked. */
  readonly linkType: number;
  /** Octets on the link; `bytes` may be shorter. */
  readonly originalLength: number;
}

/** One step of a file decoder over the bytes at hand. `need` = come back when that many are there. */
export type Step =
  | { readonly kind: 'need'; readonly bytes: number }
  | { readonly kind: 'took'; readonly bytes: number; readonly frame?: CaptureFrame | undefined }
  | { readonly kind: 'refused'; readonly refusal: Refusal };

export type StepDecoder = (waiting: Uint8Array) => Step;

/** Longest record believed, in octets. The programs we start cut at 256 KiB (tcpdump's largest snapshot length); ARP and LLDP need 2 KiB. */
export const RECORD_LIMIT = 256 * 1024;

export function stamped(timeNs: bigint): { readonly timeNs: bigint; readonly timeUs: number } {
  return { timeNs, timeUs: Number(timeNs / 1000n) };
}
