/**
 * The largest packet that passes, between a size that does and one that does not. Tries through a function, so it knows no program.
 * Plateaus first (RFC 1191 §7.1: the sizes that links have), then exact.
 */
import type { TooLong } from '../wire/mtu-output.js';

/**
 * RFC 1191 Table 7-1, with 1500 (Ethernet, same table), and 9000, 9216 and 4096 of jumbo frames (common practice, no source). Four octets
 * more where a switch leaves room for a VLAN tag that is not there (IEEE 802.1Q; seen with Linux bridges).
 */
const PLATEAUS = [
  65_535, 32_000, 17_914, 9216, 9004, 9000, 8166, 4352, 4096, 2002, 1504, 1500, 1492, 1280, 1006, 576, 508,
  296,
] as const;

/** Most sizes tried in one search: 18 plateaus at most, then 13 halvings of the widest gap under 9216. */
const TRIAL_LIMIT = 32;

export type Trial =
  | { readonly kind: 'passed' }
  | { readonly kind: 'failed'; readonly tooLong?: TooLong | undefined }
  /** The question could not be asked any more. */
  | { readonly kind: 'stopped' };

export type TrySize = (mtu: number) => Promise<Trial>;

export interface SearchResult {
  readonly mtu: number;
  /** The last one who said a packet was too long. */
  readonly tooLong?: TooLong | undefined;
}

/** `passes` is known to pass and `fails` to fail, as `told` says. Undefined where it was stopped. */
export async function searchMtu(
  {
    passes,
    fails,
    told,
  }: { readonly passes: number; readonly fails: number; readonly told?: TooLong | undefined },
  ask: TrySize,
): Promise<SearchResult | undefined> {
  let low = passes;
  let high = fails;
  let tooLong = told;
  let stopped = false;

  const tryOne = async (mtu: number): Promise<void> => {
    const trial = await ask(mtu);
    if (trial.kind === 'stopped') stopped = true;
    else if (trial.kind === 'passed') low = Math.max(low, mtu);
    else {
      high = Math.min(high, mtu);
      tooLong = trial.tooLong ?? tooLong;
      follow(trial.tooLong);
    }
  };
  let hint: number | undefined;
  const follow = (said: TooLong | undefined) => {
    hint = said?.mtu !== undefined && said.mtu > low && said.mtu < high ? said.mtu : undefined;
  };
  follow(told);

  for (let trials = 0; trials < TRIAL_LIMIT && low + 1 < high && !stopped; trials += 1) {
    if (hint !== undefined) {
      const size: number = hint;
      hint = undefined;
      await tryOne(size);
      // What was told and passes is exact: the one that told it refuses the next larger.
      if (low === size && !stopped) return { mtu: low, tooLong };
    } else {
      await tryOne(nextSize(low, high));
    }
  }
  return stopped ? undefined : { mtu: low, tooLong };
}

/** Octets of a VLAN tag (IEEE 802.1Q): some switches leave room for one that is not there. */
const TAG = 4;
const TAGGED = [1500, 9000];
/** Ethernet's own size, which every forgotten port has. */
const USUAL = 1500;

/**
 * A size that fails costs seconds, one that passes a round trip. So: the usual one; right above a plateau that passes, one octet more,
 * which as a rule ends it, or the room of a VLAN tag; the middle one of the plateaus left; the middle.
 */
function nextSize(low: number, high: number): number {
  if (low < USUAL && USUAL < high) return USUAL;
  if (isPlateau(low)) return low + 1;
  if (TAGGED.includes(low - 1) && low - 1 + TAG < high) return low - 1 + TAG;
  const between = PLATEAUS.filter((size) => size > low && size < high);
  return between[between.length >> 1] ?? (low + high) >> 1;
}

function isPlateau(size: number): boolean {
  return PLATEAUS.some((plateau) => plateau === size);
}
