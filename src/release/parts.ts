/** The parts of the program that are started as processes of their own (`system/own-program.ts`). */
import { PARTS, type Part, partWord } from '../system/own-program.js';

const FILES: Readonly<Record<Part, () => Promise<unknown>>> = {
  'program-helper': () => import('../system/program-helper.js'),
};

/** Starts the part that the first argument asks for; `false` where it asks for none. */
export async function startPart(argv: readonly string[]): Promise<boolean> {
  const part = PARTS.find((each) => argv[0] === partWord(each));
  if (part === undefined) return false;
  await FILES[part]();
  return true;
}
