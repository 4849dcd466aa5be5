/** Time in which something was waited for in vain: what waits at the same time counts once. Pure but for the clock. */

export interface VainTime<Wait extends { readonly fromMs: number }> {
  /** What waits now. */
  readonly open: Set<Wait>;
  /** It was waited in vain since then. */
  add(fromMs: number): void;
  /** Milliseconds until now. What still waits counts once it has waited for longer than those that answer do. */
  spentMs(): number;
}

/** `briefMs`: whoever answers at all does so well within. */
export function createVainTime<Wait extends { readonly fromMs: number }>(
  briefMs: number,
  now: () => number,
): VainTime<Wait> {
  const open = new Set<Wait>();
  /** Apart from each other, the earliest first. */
  let spans: readonly Span[] = [];
  const spansWith = (fromMs: number): readonly Span[] => {
    const apart = spans.filter(({ toMs }) => toMs < fromMs);
    const since = Math.min(fromMs, spans[apart.length]?.fromMs ?? fromMs);
    return [...apart, { fromMs: since, toMs: now() }];
  };
  return {
    open,
    add(fromMs) {
      spans = spansWith(fromMs);
    },
    spentMs() {
      const nowMs = now();
      const late = [...open].flatMap(({ fromMs }) => (nowMs - fromMs > briefMs ? [fromMs] : []));
      const counted = late.length === 0 ? spans : spansWith(Math.min(...late));
      return counted.reduce((sum, { fromMs, toMs }) => sum + toMs - fromMs, 0);
    },
  };
}

interface Span {
  readonly fromMs: number;
  readonly toMs: number;
}
