/** A run that was told to end is waited for a while, and no longer: what it had settled is written all the same. */

/** Longer than what an aborted question takes to end, shorter than what the closing of a window leaves (Windows: some 5 s). */
export const WIND_UP_MS = 3_000;

/** What `work` gives, or what `otherwise` makes of it where `work` fails after `signal`, or has not ended `graceMs` after it. */
export async function windUp<T>(
  work: Promise<T>,
  signal: AbortSignal,
  otherwise: () => T | Promise<T>,
  graceMs = WIND_UP_MS,
): Promise<T> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<'late'>((resolve) => {
    const begin = (): void => {
      timer = setTimeout(() => resolve('late'), graceMs);
    };
    if (signal.aborted) begin();
    else signal.addEventListener('abort', begin, { once: true });
  });
  try {
    const ended = await Promise.race([work.then((value) => ({ value })), late]);
    return ended === 'late' ? await otherwise() : ended.value;
  } catch (error) {
    if (!signal.aborted) throw error;
    return otherwise();
  } finally {
    clearTimeout(timer);
    // What comes of it later is nobody's any more.
    work.catch(() => {});
  }
}
