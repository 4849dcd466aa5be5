/** What the console that we write to can show. Pure. */

export interface ConsoleFacts {
  readonly colour: boolean;
  /** Marks beyond ASCII. */
  readonly unicode: boolean;
}

/**
 * Colour needs a terminal that says what it is; on Windows there is one kind only, and Node turns colours into calls where the console is
 * too old to know them (before Windows 10 build 10586, from memory). NO_COLOR and TERM=dumb forbid it.
 */
export function consoleFacts(
  isTerminal: boolean,
  platform: string,
  env: Readonly<Record<string, string | undefined>>,
): ConsoleFacts {
  const windows = platform === 'win32';
  const knows = windows || (env.TERM !== undefined && env.TERM !== '');
  const colour = isTerminal && knows && !env.NO_COLOR && env.TERM !== 'dumb';
  const utf8Locale = /utf-?8/i.test(env.LC_ALL || env.LC_CTYPE || env.LANG || '');
  // Windows Terminal and editors announce themselves; the fonts of the old console are assumed to lack the marks.
  const unicode = windows ? Boolean(env.WT_SESSION || env.TERM_PROGRAM) : utf8Locale || platform === 'darwin';
  return { colour, unicode };
}
