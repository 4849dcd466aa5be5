import type { Mark } from '../text/marks.js';

/** Absent mark: nothing planned, nothing asked. */
export interface Cell {
  readonly mark?: Mark | undefined;
  readonly text: string;
}
