/** The list of what eyes must prove as rows: to print and tick off, with room for what was seen and by whom. */
import type { PlannedObservation } from '../plan/model.js';

const EYES_COLUMNS = ['when', 'subject', 'item', 'expect', 'saw', 'by'] as const;

export function eyesRows(observe: readonly PlannedObservation[]): readonly (readonly string[])[] {
  return [
    EYES_COLUMNS,
    ...observe.map(({ when, subject, item, expect }) => [when ?? '', subject, item, expect, '', '']),
  ];
}
