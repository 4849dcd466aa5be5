import type { Mark } from '../text/marks.js';

/** The class of a mark in the page's styles: a letter, since a page of 1,024 endpoints has it some ten thousand times. */
export const MARK_CLASS: Readonly<Record<Mark, string>> = {
  matches: 'm',
  differs: 'd',
  missing: 'x',
  unproven: 'u',
  told: 't',
};
