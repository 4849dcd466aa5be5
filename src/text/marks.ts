/** The signs that stand beside a verdict word, for paper and for consoles that know ASCII alone. A sign never stands without its word. */
export type Mark = 'matches' | 'differs' | 'missing' | 'unproven' | 'told';
export type GroupMark = 'redundant' | 'at-risk' | 'lost' | 'unproven';

export interface Sign {
  readonly sign: string;
  readonly ascii: string;
  readonly word: string;
}

export const MARKS: Readonly<Record<Mark, Sign>> = {
  matches: { sign: '=', ascii: '=', word: 'matches' },
  differs: { sign: '≠', ascii: '!=', word: 'differs' },
  missing: { sign: '∅', ascii: '-', word: 'missing' },
  unproven: { sign: '?', ascii: '?', word: 'unproven' },
  told: { sign: '·', ascii: '.', word: 'told' },
};

export const GROUP_MARKS: Readonly<Record<GroupMark, Sign>> = {
  redundant: { sign: '=', ascii: '=', word: 'redundant' },
  'at-risk': { sign: '!', ascii: '!', word: 'at risk' },
  lost: { sign: '∅', ascii: '-', word: 'lost' },
  unproven: { sign: '?', ascii: '?', word: 'unproven' },
};

/** What each sign means, once for every legend. */
export const MARK_MEANINGS: Readonly<Record<Mark, string>> = {
  matches: 'answers as planned',
  differs: 'answers, but not as planned',
  missing: 'should answer from here and does not',
  unproven: 'could not be tested from here; the evidence says why',
  told: 'told by the device, with nothing planned to hold it against',
};
