import { CommanderError } from 'commander';
import { describe, expect, test } from 'vitest';
import { reportError, textStyle } from '../../src/cli/common.js';
import { openOutput } from '../../src/cli/output.js';
import { MatchmarkError } from '../../src/errors.js';

type Env = Readonly<Record<string, string>>;

describe('how a stream is written to', () => {
  const style = (env: Env, platform: NodeJS.Platform = 'linux', isTTY = true, columns?: number) =>
    textStyle({ isTTY, columns }, { env, platform });

  test.each<[string, Env, boolean, boolean]>([
    ['a terminal', { LANG: 'en_GB.UTF-8', TERM: 'xterm' }, true, true],
    ['a pipe', { LANG: 'en_GB.UTF-8' }, false, false],
    // no-color.org: set and not an empty string.
    ['NO_COLOR=1', { LANG: 'en_GB.UTF-8', NO_COLOR: '1' }, true, false],
    ['NO_COLOR=0', { LANG: 'en_GB.UTF-8', NO_COLOR: '0' }, true, false],
    ['NO_COLOR empty', { LANG: 'en_GB.UTF-8', TERM: 'xterm', NO_COLOR: '' }, true, true],
    ['a dumb terminal', { LANG: 'en_GB.UTF-8', TERM: 'dumb' }, true, false],
  ])('colour: %s', (_what, env, isTTY, colour) => {
    expect(style(env, 'linux', isTTY).colour).toBe(colour);
  });

  // POSIX.1-2017 §8.2: LC_ALL before LC_CTYPE before LANG.
  test.each<[string, Env, NodeJS.Platform, boolean]>([
    ['LANG=C', { LANG: 'C' }, 'linux', false],
    ['nothing set', {}, 'linux', false],
    ['LANG=C.UTF-8', { LANG: 'C.UTF-8' }, 'linux', true],
    ['LC_ALL=C over LANG', { LANG: 'en_GB.UTF-8', LC_ALL: 'C' }, 'linux', false],
    ['LC_CTYPE over LANG', { LANG: 'C', LC_CTYPE: 'de_DE.utf8' }, 'linux', true],
    ['macOS without a locale', {}, 'darwin', true],
    ['the old Windows console', { LANG: 'C.UTF-8' }, 'win32', false],
    ['a Windows console that says that it can', { WT_SESSION: '1' }, 'win32', true],
    ['an editor’s terminal on Windows', { TERM_PROGRAM: 'editor' }, 'win32', true],
  ])('marks beyond ASCII: %s', (_what, env, platform, unicode) => {
    expect(style(env, platform).unicode).toBe(unicode);
  });

  test('the width is the terminal’s; 100 on a pipe', () => {
    expect(style({}, 'linux', true, 57).width).toBe(57);
    expect(style({}, 'linux', false).width).toBe(100);
  });
});

describe('an error, as its reader sees it', () => {
  function reported(error: unknown, env: Env = {}): { status: number; text: string } {
    let text = '';
    const stderr = openOutput({
      write: (more: string) => {
        text += more;
      },
      isTTY: false,
    });
    return { status: reportError({ stderr, env }, error), text };
  }

  test('ours: what, then what next; 2, or 3 where a run was under way', () => {
    expect(reported(new MatchmarkError('usage', 'no such thing', { next: 'Name another.' }))).toEqual({
      status: 2,
      text: 'matchmark: no such thing\n  Name another.\n',
    });
    expect(reported(new MatchmarkError('write-failed', 'the disk is full')).status).toBe(3);
  });

  test('the command library has spoken itself', () => {
    expect(reported(new CommanderError(0, 'commander.helpDisplayed', ''))).toEqual({ status: 0, text: '' });
    expect(reported(new CommanderError(1, 'commander.unknownOption', ''))).toEqual({ status: 2, text: '' });
  });

  test('a bug: 3, no stack unless asked for, nothing that acts on a terminal', () => {
    const bug = new Error('bad\u001b[2Jthing');
    const { status, text } = reported(bug);
    expect(status).toBe(3);
    expect(text).toContain('MATCHMARK_DEBUG=1');
    expect(text).not.toMatch(/\u001b|\n\s+at /);
    expect(reported(bug, { MATCHMARK_DEBUG: '1' }).text).toMatch(/\n\s+at /);
    expect(reported('thrown text').text).toContain('thrown text');
  });
});
