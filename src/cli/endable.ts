/** Work that keeps the process busy: reading a large result, judging it, making a page of it. */
import type { CliDeps } from './common.js';

/** Nothing is lost where `work` is ended: Ctrl-C then ends the program at once, also where it is too busy to hear of it. */
export function endable<T>({ unguarded }: Pick<CliDeps, 'unguarded'>, work: () => Promise<T>): Promise<T> {
  return unguarded?.(work) ?? work();
}
