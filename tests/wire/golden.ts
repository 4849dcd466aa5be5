import { fromHex } from '../support/hex.js';
import { classicCapture, type Format } from './capture-bytes.js';
import { fixtureText } from './fixture.js';

export interface Golden {
  readonly name: string;
  readonly madeBy: string;
  readonly hex: string;
  readonly decoded: Readonly<Record<string, unknown>>;
}

export function golden(file: string): readonly Golden[] {
  return JSON.parse(fixtureText(`packets/${file}.json`)) as readonly Golden[];
}

/** The packets of a golden file as one capture, a millisecond apart. */
export function goldenCapture(
  packets: readonly Golden[],
  format: Format = { littleEndian: true },
): Uint8Array {
  return classicCapture(
    packets.map(({ hex }, index) => ({
      bytes: fromHex(hex),
      timeNs: 1_700_000_000_000_000_000n + BigInt(index) * 1_000_000n,
    })),
    format,
  );
}
