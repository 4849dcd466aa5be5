/** `--pace`: a slower run for a fragile site. */
import type { Command } from 'commander';
import { MatchmarkError } from '../errors.js';
import { DEFAULT_PACE, type PaceLimits, paceOf } from '../run/pace.js';

export interface PaceOptions {
  readonly pace?: PaceLimits;
}

const SLOWEST = 10;

export function withPaceOption(command: Command): Command {
  return command.option(
    '--pace <frames>',
    `frames a second that leave this laptop at most, ${SLOWEST} to ${DEFAULT_PACE.runPerSecond}; each device is spared in proportion`,
    limitsOf,
  );
}

function limitsOf(text: string): PaceLimits {
  const frames = Number(text);
  if (Number.isInteger(frames) && frames >= SLOWEST && frames <= DEFAULT_PACE.runPerSecond)
    return paceOf(frames);
  throw new MatchmarkError('usage', `--pace cannot be "${text}"`, {
    next: `Give frames a second as a whole number from ${SLOWEST} to ${DEFAULT_PACE.runPerSecond}.`,
  });
}
