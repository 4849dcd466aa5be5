/** How deeply YAML or JSON text nests, found without recursion, before a recursive parser sees it. */
import { Lexer } from 'yaml';

/** Brackets inside brackets. A plan has four. */
const FLOW_LIMIT = 60;
/** Blanks before the first value of a line: block collections open at most two levels a column. */
const INDENTED = /^[ \t]{120,}[^ \t\r\n]/m;
/** List and key indicators in a row on one line, a level each. */
const INDICATORS = /^[ \t]*(?:[-?:][ \t]+){60}/m;

/**
 * True where the text nests deeper than any plan. A parser that recurses over a hundred thousand brackets does not always end in a
 * RangeError that can be caught: where a regular expression is compiled near the end of the stack, V8 ends the process.
 */
export function nestsTooDeep(text: string): boolean {
  if (INDENTED.test(text) || INDICATORS.test(text)) return true;
  let depth = 0;
  for (const token of new Lexer().lex(text)) {
    if (token === '[' || token === '{') depth += 1;
    else if (token === ']' || token === '}') depth = Math.max(0, depth - 1);
    if (depth > FLOW_LIMIT) return true;
  }
  return false;
}
