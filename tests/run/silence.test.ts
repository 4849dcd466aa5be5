import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  createLossCounter,
  FEWEST,
  MOST,
  missChance,
  questionsBeforeSilence,
  RARE,
} from '../../src/run/silence.js';

/** A binomial coefficient, for the closed form of nothing lost: m!(n+1)!/(n+m+1)! = 1 / C(n+m+1, m). */
function choose(from: number, of: number): number {
  let ways = 1;
  for (let step = 1; step <= of; step += 1) ways = (ways * (from - of + step)) / step;
  return ways;
}

describe('missChance', () => {
  it.each([
    // The mean of a Beta(lost+1, answered+1) distribution: the rule of succession (Laplace 1774).
    [0, 0, 1, 1 / 2],
    [8, 0, 1, 1 / 10],
    [3, 2, 1, 3 / 7],
  ])(
    '%i answered, %i lost: the chance of the next %i is the mean of what is known',
    (answered, lost, asked, chance) => {
      expect(missChance({ answered, lost }, asked)).toBeCloseTo(chance, 12);
    },
  );

  it.each([
    [12, 10],
    [28, 6],
    [460, 3],
  ])(
    '%i answered and none lost: %i unanswered in a row are one of all the ways to choose',
    (answered, asked) => {
      const ways = choose(answered + asked + 1, asked);
      expect(missChance({ answered, lost: 0 }, asked) * ways).toBeCloseTo(1, 9);
    },
  );
});

describe('questionsBeforeSilence', () => {
  it.each([
    // answered, lost, and how many questions; where too few are there and none was lost: as many as usual, 10 here.
    [0, 0, 10, 'nobody is there: as many as usual'],
    [4, 0, 10, 'too few to know: as many as usual'],
    [12, 0, 10, 'ten suffice'],
    [28, 0, 6, 'seven ports of four questions'],
    [64, 0, 5, 'sixteen endpoints of four questions'],
    [128, 0, 4, 'more'],
    [200, 0, 3, 'never fewer than three'],
    [4600, 0, 3, 'never fewer than three'],
    [3, 1, MOST, 'one of four lost: a bad network or bad luck'],
    [28, 1, 7, 'one lost'],
    [64, 7, 8, 'a tenth lost'],
    [1800, 180, 6, 'a tenth lost, well known'],
    [1000, 400, 12, 'more than a quarter'],
    [64, 36, 16, 'more than a third'],
    [360, 640, 32, 'two fifths lost on either way: 0.64'],
  ])('%i answered, %i lost: %i (%s)', (answered, lost, questions) => {
    expect(questionsBeforeSilence({ answered, lost }, 10)).toBe(questions);
  });

  it('is the smallest number that makes a false silence rarer than one in a million, wherever that is within reach', () => {
    fc.assert(
      fc.property(fc.nat({ max: 5000 }), fc.nat({ max: 2000 }), (answered, lost) => {
        const count = { answered, lost };
        const questions = questionsBeforeSilence(count, 10);
        expect(questions).toBeGreaterThanOrEqual(FEWEST);
        if (questions > FEWEST) expect(missChance(count, questions - 1)).toBeGreaterThan(RARE);
        const most = lost === 0 ? 10 : MOST;
        if (questions < most) expect(missChance(count, questions)).toBeLessThanOrEqual(RARE);
      }),
      { seed: 12 },
    );
  });
});

it('a counter of losses counts the tries before an answer', () => {
  const book = createLossCounter();
  book.answeredAt(1);
  book.answeredAt(3);
  book.share(20, 18);
  expect(book.count()).toEqual({ answered: 20, lost: 4 });
  expect(book.needed(10)).toBe(questionsBeforeSilence({ answered: 20, lost: 4 }, 10));
  expect(book.missChance(5)).toBe(missChance({ answered: 20, lost: 4 }, 5));
});
