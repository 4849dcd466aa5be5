/** How a stream can be written to. The caller decides from the terminal and NO_COLOR; nothing here looks at the process. */
import type { Sign, Tone } from '../text/marks.js';

export interface TextStyle {
  /** Columns of the terminal. */
  readonly width: number;
  readonly colour: boolean;
  /** False for consoles that show ASCII alone. */
  readonly unicode: boolean;
}

export type Ink = 'bold' | 'dim' | 'red' | 'yellow' | 'blue';

/** SGR parameters (ECMA-48 §8.3.117). */
const SGR: Readonly<Record<Ink, number>> = { bold: 1, dim: 2, red: 31, yellow: 33, blue: 34 };

export function ink(style: TextStyle, text: string, ...inks: readonly Ink[]): string {
  if (!style.colour || inks.length === 0) return text;
  return `\u001b[${inks.map((name) => SGR[name]).join(';')}m${text}\u001b[0m`;
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
