/** Progress on standard error: a bar with counts and time left on a terminal, plain lines elsewhere. */
import type { Progress } from '../run/observe.js';
import type { Output } from './output.js';

const PHASES: Record<Progress['phase'], string> = {
  looking: 'Finding out who is there',
  asking: 'Asking',
  tables: 'Reading the tables of switches and arrays',
  done: 'Done',
};
const BAR_CELLS = 24;
const PLAIN_EVERY_MS = 5_000;
const BAR_EVERY_MS = 80;

export interface ProgressView {
  show(progress: Progress): void;
  /** Leaves the line clean for what comes next. */
  end(): void;
}

export function progressView(output: Output, now: () => number, quiet: boolean): ProgressView {
  if (quiet) return { show: () => {}, end: () => {} };
  return output.isTTY ? barView(output, now) : plainView(output, now);
}

function barView(output: Output, now: () => number): ProgressView {
  let startedAt = now();
  let lastAt = Number.NEGATIVE_INFINITY;
  let phase = '';
  return {
    show(progress) {
      if (now() - lastAt < BAR_EVERY_MS && progress.phase === phase) return;
      lastAt = now();
      // The questions of one phase say nothing about how long those of the next take.
      if (progress.phase !== phase) startedAt = lastAt;
      phase = progress.phase;
      const width = Math.max(20, (output.columns ?? 80) - 1);
      output.overwrite(barLine(progress, lastAt - startedAt, width));
    },
    end: () => output.overwrite(''),
  };
}

/** As much of it as `width` columns hold; the bar goes first, then what was answered. */
export function barLine(progress: Progress, elapsedMs: number, width = Number.POSITIVE_INFINITY): string {
  const { done, total, answered } = progress;
  const filled = total === 0 ? 0 : Math.floor((done / total) * BAR_CELLS);
  const bar = `[${'#'.repeat(filled)}${'.'.repeat(BAR_CELLS - filled)}]`;
  const leftMs = done === 0 || done === total ? undefined : (elapsedMs / done) * (total - done);
  const left = leftMs === undefined ? '' : `, about ${timeLeft(leftMs)} left`;
  const phase = PHASES[progress.phase];
  const amount = `${done} of ${total}`;
  const forms = [
    `${phase} ${bar} ${amount}, ${answered} answered${left}`,
    `${phase}: ${amount}, ${answered} answered${left}`,
    `${phase}: ${amount}${left}`,
    `${amount}, ${answered} answered${left}`,
    `${amount}, ${answered} answered`,
  ];
  return forms.find((form) => form.length <= width) ?? amount.slice(0, width);
}

function timeLeft(milliseconds: number): string {
  const seconds = Math.ceil(milliseconds / 1000);
  return seconds < 100 ? `${seconds} s` : `${Math.ceil(seconds / 60)} min`;
}

function plainView(output: Output, now: () => number): ProgressView {
  let lastAt = Number.NEGATIVE_INFINITY;
  let phase = '';
  return {
    show(progress) {
      if (progress.phase === phase && now() - lastAt < PLAIN_EVERY_MS) return;
      if (progress.phase === 'done') return;
      lastAt = now();
      phase = progress.phase;
      const { done, total, answered } = progress;
      output.write(`${PHASES[progress.phase]}: ${done} of ${total} addresses done, ${answered} answered\n`);
    },
    end: () => {},
  };
}
