/** The signs that stand beside a word, for paper and for consoles that know ASCII alone. A sign never stands without its word. */
export type Mark = 'matches' | 'differs' | 'missing' | 'unproven' | 'told';
export type GroupMark = 'redundant' | 'at-risk' | 'lost' | 'unproven';
export type PathMark = 'live' | 'dead' | 'unproven';

/** What a sign is coloured by, the same on a terminal and on the page: red for wrong, brown or yellow for open, none else. */
export type Tone = 'good' | 'wrong' | 'open' | 'quiet';

export interface Sign {
  readonly sign: string;
  readonly ascii: string;
  readonly word: string;
  readonly tone: Tone;
}

export const MARKS: Readonly<Record<Mark, Sign>> = {
  matches: { sign: '=', ascii: '=', word: 'matches', tone: 'good' },
  differs: { sign: '≠', ascii: '!=', word: 'differs', tone: 'wrong' },
  missing: { sign: '∅', ascii: '[]', word: 'missing', tone: 'wrong' },
  unproven: { sign: '?', ascii: '?', word: 'unproven', tone: 'open' },
  told: { sign: '·', ascii: '.', word: 'told', tone: 'quiet' },
};

export const GROUP_MARKS: Readonly<Record<GroupMark, Sign>> = {
  redundant: { sign: '=', ascii: '=', word: 'redundant', tone: 'good' },
  'at-risk': { sign: '!', ascii: '!', word: 'at risk', tone: 'wrong' },
  lost: { sign: '×', ascii: 'x', word: 'lost', tone: 'wrong' },
  unproven: { sign: '?', ascii: '?', word: 'unproven', tone: 'open' },
};

/** States of a path; the keys are those of matrix.json, the words those of every screen. */
export const PATH_MARKS: Readonly<Record<PathMark, Sign>> = {
  live: { sign: '=', ascii: '=', word: 'works', tone: 'good' },
  dead: { sign: '×', ascii: 'x', word: 'broken', tone: 'wrong' },
  unproven: { sign: '?', ascii: '?', word: 'unproven', tone: 'open' },
};

/** Where nothing is planned and nothing was seen. */
export const NOTHING = '–';

/** What each sign means, once for every legend. */
export const MARK_MEANINGS: Readonly<Record<Mark, string>> = {
  matches: 'as planned',
  differs: 'there, but not as planned',
  missing: 'should answer from here and does not',
  unproven: 'could not be tested; the reason is said',
  told: 'said by the device; the plan says nothing of it',
};
