import { afterEach, expect, test, vi } from 'vitest';
import { argumentsFor, partWord } from '../../src/system/own-program.js';

afterEach(() => {
  vi.unstubAllGlobals();
});

test('where the sources run nothing is built, so there is no part to start', () => {
  expect(argumentsFor('program-helper')).toBeUndefined();
});

test('the one file is started again with the word for its part', () => {
  vi.stubGlobal('MATCHMARK_OWN_FILE', '/somewhere/matchmark.mjs');
  expect(argumentsFor('program-helper')).toEqual(['/somewhere/matchmark.mjs', '--as-program-helper']);
});

test('an executable is its own Node: the word alone', () => {
  vi.stubGlobal('MATCHMARK_OWN_FILE', '');
  expect(argumentsFor('program-helper')).toEqual([partWord('program-helper')]);
});
