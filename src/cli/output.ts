/**
 * The one door for all that reaches a terminal. What plans, results and devices say may hold anything; nothing of it acts here:
 * control, bidirectional and invisible characters come out as visible escapes, of our own sequences only those made in this file and
 * the colours of src/terminal/style.ts pass.
 */
import { inspect } from 'node:util';
import { INKS } from '../terminal/style.js';
import { printable } from '../text/clean.js';

/** Where text goes in the end: a stream of the process, or what a test keeps. */
export interface Sink {
  write(text: string): void;
  readonly isTTY: boolean;
  /** Size of the terminal, absent on a pipe. */
  readonly columns?: number | undefined;
  readonly rows?: number | undefined;
}

export interface Output extends Sink {
  /** Over the line that the cursor stands in, without leaving it. */
  overwrite(line: string): void;
  /** Over the last `back` lines. */
  redraw(lines: readonly string[], back: number): void;
  /** A document or JSON: octet for octet into a pipe or a file, cleaned on a terminal. */
  document(text: string): void;
  /** Of the terminal; elsewhere nothing. */
  bell(): void;
}

/** SGR (ECMA-48 §8.3.117) as src/terminal/style.ts makes it: on and off of each ink, and nothing else. */
const COLOUR = new RegExp(
  `\\u001b\\[(?:${[...new Set(INKS.flatMap((name) => inspect.colors[name] ?? []))].join('|')})m`,
  'g',
);
/** EL (§8.3.41): clears from the cursor to the end of the line. */
const CLEAR_LINE = '\u001b[K';

/** `wipe`: what no text for people may hold, taken out by value. */
export function openOutput(sink: Sink, wipe: (text: string) => string = (text) => text): Output {
  const clean = (text: string): string => (sink.isTTY ? keepColours(wipe(text)) : printable(wipe(text)));
  return {
    write: (text) => sink.write(clean(text)),
    overwrite: (line) => sink.write(`\r${clean(line)}${CLEAR_LINE}`),
    // CUU and ED (§8.3.22, §8.3.39): up to where the last lines began, and clean from there.
    redraw: (lines, back) =>
      sink.write(`${back === 0 ? '' : `\u001b[${back}A\r\u001b[J`}${clean(lines.join('\n'))}\n`),
    document: (text) => sink.write(sink.isTTY ? keepColours(text) : text),
    bell: () => {
      if (sink.isTTY) sink.write('\u0007');
    },
    isTTY: sink.isTTY,
    get columns() {
      return sink.columns;
    },
    get rows() {
      return sink.rows;
    },
  };
}

function keepColours(text: string): string {
  let cleaned = '';
  let from = 0;
  for (const match of text.matchAll(COLOUR)) {
    cleaned += printable(text.slice(from, match.index)) + match[0];
    from = match.index + match[0].length;
  }
  return cleaned + printable(text.slice(from));
}

/** A stream of this process. Asked for its size each time, since a window may change it; a terminal without a size says 0. */
export function streamSink(stream: NodeJS.WriteStream): Sink {
  return {
    write: (text) => {
      stream.write(text);
    },
    isTTY: stream.isTTY === true,
    get columns() {
      return stream.columns || undefined;
    },
    get rows() {
      return stream.rows || undefined;
    },
  };
}
