/**
 * Measures gaps in service from samples taken at an interval. Pure: the caller has the clock.
 * A service that was up at one sample and down at the next went away somewhere between the two, so a gap is known no better
 * than the interval. The figure is first down to first up again; the true gap lies between `atLeastMs` and `atMostMs`.
 */
export interface Sample {
  /** When the question was asked, in ms on a monotonic clock. */
  readonly atMs: number;
  readonly endpoint: string;
  readonly up: boolean;
}

export interface Gap {
  readonly endpoint: string;
  /** First sample that was down. */
  readonly startMs: number;
  /** First sample that was up again; the last sample where it did not return. */
  readonly endMs: number;
  readonly gapMs: number;
  readonly atLeastMs: number;
  readonly atMostMs: number;
  readonly returned: boolean;
}

interface Track {
  /** Undefined until the first sample that was up: what was never there has no gap. */
  lastUpMs: number | undefined;
  firstDownMs: number | undefined;
  lastDownMs: number | undefined;
  lastMs: number;
  up: boolean;
}

export class GapMeter {
  readonly #tracks = new Map<string, Track>();
  readonly #closed: Gap[] = [];
  #widestMs = 0;

  constructor(readonly intervalMs: number) {}

  /** Samples of one endpoint have to come in the order in which they were asked; an earlier one is dropped. */
  feed({ atMs, endpoint, up }: Sample): void {
    const track = this.#tracks.get(endpoint);
    if (track === undefined) {
      this.#tracks.set(endpoint, {
        lastUpMs: up ? atMs : undefined,
        firstDownMs: undefined,
        lastDownMs: undefined,
        lastMs: atMs,
        up,
      });
      return;
    }
    if (atMs < track.lastMs) return;
    this.#widestMs = Math.max(this.#widestMs, atMs - track.lastMs);
    if (up) {
      const gap = openGap(endpoint, track, atMs, true);
      if (gap !== undefined) this.#closed.push(gap);
      track.lastUpMs = atMs;
      track.firstDownMs = undefined;
      track.lastDownMs = undefined;
    } else if (track.lastUpMs !== undefined) {
      track.firstDownMs ??= atMs;
      track.lastDownMs = atMs;
    }
    track.lastMs = atMs;
    track.up = up;
  }

  /** Whether the endpoint was up at its last sample; undefined where it was never asked. */
  isUp(endpoint: string): boolean | undefined {
    return this.#tracks.get(endpoint)?.up;
  }

  /** Closed gaps in the order in which they ended, then those still open. */
  gaps(): Gap[] {
    const open = [...this.#tracks].flatMap(
      ([endpoint, track]) => openGap(endpoint, track, track.lastMs, false) ?? [],
    );
    return [...this.#closed, ...open];
  }

  /** The interval, or the widest distance between two samples of one endpoint where that was larger: the honest figure. */
  resolutionMs(): number {
    return Math.max(this.intervalMs, this.#widestMs);
  }
}

function openGap(endpoint: string, track: Track, endMs: number, returned: boolean): Gap | undefined {
  const { firstDownMs, lastDownMs, lastUpMs } = track;
  if (firstDownMs === undefined || lastDownMs === undefined || lastUpMs === undefined) return undefined;
  return {
    endpoint,
    startMs: firstDownMs,
    endMs,
    gapMs: endMs - firstDownMs,
    atLeastMs: lastDownMs - firstDownMs,
    atMostMs: endMs - lastUpMs,
    returned,
  };
}
