/** How a stream can be written to. The caller decides from the terminal and NO_COLOR; nothing here looks at the process. */
import { styleText } from 'node:util';
import type { Sign, Tone } from '../text/marks.js';

export interface TextStyle {
  /** Columns of the terminal. */
  readonly width: number;
  readonly colour: boolean;
  /** False for consoles that show ASCII alone. */
  readonly unicode: boolean;
}

export const INKS = ['bold', 'dim', 'red', 'yellow', 'blue'] as const;
export type Ink = (typeof INKS)[number];

export function ink(style: TextStyle, text: string, ...inks: readonly Ink[]): string {
  if (!style.colour || inks.length === 0) return text;
  // The stream was looked at by the caller: it may be another than the standard output of this process.
  return styleText([...inks], text, { validateStream: false });
}

/** The colours of the page: red for what is wrong, yellow for what is open. */
const TONES: Readonly<Record<Tone, readonly Ink[]>> = {
  good: [],
  wrong: ['red'],
  open: ['yellow'],
  quiet: ['dim'],
};

export function inkOf(tone: Tone): readonly Ink[] {
  return TONES[tone];
}

export function signOf(style: TextStyle, sign: Sign): string {
  return style.unicode ? sign.sign : sign.ascii;
}

const ASCII: Readonly<Record<string, string>> = {
  '…': '...',
  '–': '-',
  '—': '-',
  '≠': '!=',
  '∅': '[]',
  '·': '.',
  '→': '->',
  '×': 'x',
  '‘': "'",
  '’': "'",
  '“': '"',
  '”': '"',
};

/** Our own typography in ASCII where the console needs it. Letters of names stay: consoles write those. */
export function plain(style: TextStyle, text: string): string {
  return style.unicode ? text : text.replace(/[…–—≠∅·→×‘’“”]/g, (character) => ASCII[character] ?? character);
}
