/** A capture that has ended, read at once; the program reads one that is still running. */
import { type ArpClaims, createClaimCollector, type Questions } from '../../src/wire/arp-claims.js';
import type { Refusal } from '../../src/wire/decoded.js';
import { createCaptureReader } from '../../src/wire/pcap.js';
import type { CaptureFrame } from '../../src/wire/pcap-frame.js';

/** The frames read, and why reading ended early if it did. */
export function readCapture(bytes: Uint8Array): {
  readonly frames: readonly CaptureFrame[];
  readonly refusal: Refusal | undefined;
} {
  const reader = createCaptureReader();
  const frames = reader.push(bytes);
  return { frames, refusal: reader.end() };
}

export function claimsFrom(frames: Iterable<CaptureFrame>, questions: Questions): ArpClaims {
  const collector = createClaimCollector(questions);
  for (const frame of frames) collector.add(frame);
  return collector.claims();
}
