/** A capture stream in chunks of any size -> frames. Memory is bounded by one record (RECORD_LIMIT) and one chunk. */
import { createByteQueue } from './byte-queue.js';
import { u32 } from './bytes.js';
import { type Refusal, refuse, shifted } from './decoded.js';
import { classicFormat, createClassicDecoder } from './pcap-classic.js';
import type { CaptureFrame, StepDecoder } from './pcap-frame.js';
import { createPcapngDecoder, SECTION_HEADER } from './pcapng.js';

export type { CaptureFrame } from './pcap-frame.js';

export interface CaptureReader {
  /** Frames completed by this chunk. After the first bad byte nothing more is read. */
  push(chunk: Uint8Array): readonly CaptureFrame[];
  /** The stream ended: a record begun and not finished is `truncated`. */
  end(): Refusal | undefined;
  readonly refusal: Refusal | undefined;
}

export function createCaptureReader(): CaptureReader {
  const queue = createByteQueue();
  let decoder: StepDecoder | undefined;
  let refusal: Refusal | undefined;
  let taken = 0;
  let needed = 4;

  return {
    get refusal() {
      return refusal;
    },
    push(chunk) {
      const frames: CaptureFrame[] = [];
      if (refusal !== undefined) return frames;
      queue.push(chunk);
      while (queue.length >= needed) {
        decoder ??= decoderFor(queue.peek());
        if (decoder === undefined) {
          refusal = refuse('unsupported', 0, 'neither pcap nor pcapng');
          break;
        }
        const step = decoder(queue.peek());
        if (step.kind === 'refused') {
          refusal = shifted(step.refusal, taken);
          break;
        }
        if (step.kind === 'need') {
          needed = step.bytes;
          continue;
        }
        if (step.frame !== undefined) frames.push(step.frame);
        queue.drop(step.bytes);
        taken += step.bytes;
        needed = 1;
      }
      if (refusal !== undefined) queue.drop(queue.length);
      return frames;
    },
    end() {
      if (refusal === undefined && (queue.length > 0 || decoder === undefined)) {
        refusal = refuse('truncated', taken + queue.length, 'the capture ends inside a record');
      }
      return refusal;
    },
  };
}

function decoderFor(first: Uint8Array): StepDecoder | undefined {
  const classic = classicFormat(first);
  if (classic !== undefined) return createClassicDecoder(classic);
  return u32(first, 0) === SECTION_HEADER ? createPcapngDecoder() : undefined;
}
