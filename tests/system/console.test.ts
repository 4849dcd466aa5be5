import { expect, it } from 'vitest';
import { consoleFacts } from '../../src/system/console.js';

// NO_COLOR: no-color.org. The rest is common practice, no source.
it.each([
  ['a pipe', false, 'linux', { TERM: 'xterm' }, false],
  ['a terminal', true, 'linux', { TERM: 'xterm' }, true],
  ['a terminal that does not say what it is (a serial line, a build log)', true, 'linux', {}, false],
  ['a dumb one', true, 'linux', { TERM: 'dumb' }, false],
  ['a person who wants none', true, 'darwin', { TERM: 'xterm', NO_COLOR: '1' }, false],
  ['the console of Windows, old or new', true, 'win32', {}, true],
  ['Windows writing to a file', false, 'win32', { WT_SESSION: 'x' }, false],
])('colour: %s', (_what, isTerminal, platform, env, colour) => {
  expect(consoleFacts(isTerminal, platform, env).colour).toBe(colour);
});

it.each([
  ['the old console of Windows', 'win32', {}, false],
  ['the new one', 'win32', { WT_SESSION: 'x' }, true],
  ['a UTF-8 locale', 'linux', { LANG: 'de_DE.UTF-8' }, true],
  ['a plain locale', 'linux', { LANG: 'C' }, false],
  ['macOS', 'darwin', {}, true],
])('marks beyond ASCII: %s', (_what, platform, env, unicode) => {
  expect(consoleFacts(true, platform, env).unicode).toBe(unicode);
});
