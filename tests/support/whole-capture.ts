/** A capture that has ended, read at once; the program reads one that is still running. */
import { statementsOf } from '../../src/wire/arp-claims.js';
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

/** Address -> MACs that claim it, and MACs that were testing whether they may take it, without what the laptop itself says. */
export function claimsFrom(frames: Iterable<CaptureFrame>, own: string) {
  const claims = new Map<string, Set<string>>();
  const wanted = new Map<string, Set<string>>();
  for (const frame of frames)
    for (const { kind, address, mac, frameSource } of statementsOf(frame)) {
      if (kind === 'asks' || mac === own || frameSource === own) continue;
      const told = kind === 'claims' ? claims : wanted;
      told.set(address, (told.get(address) ?? new Set()).add(mac));
    }
  return { claims, wanted };
}
