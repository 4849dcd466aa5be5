/** What of a pull test was done before, and what is left to do. Pure. */
import type { DrillRecord } from '../sighting/types.js';
import type { DrillStep } from './plan.js';

/** The last record of a step, if any. */
export function lastRecord(step: DrillStep, records: readonly DrillRecord[]): DrillRecord | undefined {
  return records.findLast((record) => isOf(step, record));
}

/** Proven: the group went on, or ended where that was known before. All else is worth another pull. */
export function isDone(step: DrillStep, records: readonly DrillRecord[]): boolean {
  const outcome = lastRecord(step, records)?.outcome;
  return outcome === 'survived' || (outcome === 'lost' && step.expect === 'lost');
}

/** Records that stay beside those of the steps that are done now: what was only skipped or stopped is no news beside them. */
export function keptRecords(records: readonly DrillRecord[], steps: readonly DrillStep[]): DrillRecord[] {
  return records.filter(
    (record) =>
      (record.outcome !== 'skipped' && record.outcome !== 'aborted') ||
      !steps.some((step) => isOf(step, record)),
  );
}

function isOf({ group, pull }: DrillStep, record: DrillRecord): boolean {
  return record.group === group && record.pulled.kind === pull.kind && record.pulled.name === pull.name;
}
