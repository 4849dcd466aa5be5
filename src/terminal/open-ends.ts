/** What a run from here could not prove, and what to do about it: the commands that bring the laptop nearer, the programs it lacked. */
import type { Matrix } from '../matrix/matrix.js';
import { cleanText } from '../text/clean.js';
import { list } from '../text/sentence.js';
import type { TextStyle } from './style.js';
import { wrap } from './wrap.js';

export function renderOpenEnds(matrix: Matrix, style: TextStyle): string {
  const commands = new Map<string, string>();
  const dark = new Set<string>();
  for (const { verdict, sightings } of matrix.endpoints) {
    if (verdict !== 'unproven') continue;
    for (const { reach, mend, reachReason } of sightings) {
      if (mend !== undefined) commands.set(mend.add, mend.remove);
      else if (reach === 'no-route' && reachReason !== undefined) dark.add(reachReason);
    }
  }
  const lines = [...dark].map((reason) => wrap(style, `Not asked: ${reason}`));
  // A command stays on one line, so that it can be copied.
  for (const [add, remove] of commands)
    lines.push(`To ask the rest:   ${cleanText(add, 400)}\nand afterwards:    ${cleanText(remove, 400)}\n`);
  for (const { vantage } of matrix.evidence) {
    const { ping, capture, arping } = vantage.abilities;
    const lacking = [
      ...(ping.able ? [] : ['ping']),
      ...(capture.able || arping.able ? [] : ['a capture program or arping']),
    ];
    if (lacking.length > 0)
      lines.push(
        wrap(
          style,
          `${cleanText(vantage.name)} went without ${list(lacking)}: "matchmark kit" says what that leaves open and how to mend it.`,
        ),
      );
  }
  return lines.join('');
}
