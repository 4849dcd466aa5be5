/** What a run from here could not prove, and what to do about it: the reasons, the commands that bring the laptop nearer, the programs it lacked. */
import type { Matrix } from '../matrix/matrix.js';
import { openFacts } from '../result/open-facts.js';
import { cleanText } from '../text/clean.js';
import { count, list } from '../text/sentence.js';
import type { TextStyle } from './style.js';
import { wrap } from './wrap.js';

/** `reasons`: how many are told; the rest are counted. */
export function renderOpenEnds(
  matrix: Matrix,
  style: TextStyle,
  reasons: number = Number.POSITIVE_INFINITY,
): string {
  const commands = new Map<string, string>();
  for (const { verdict, sightings } of matrix.endpoints) {
    if (verdict !== 'unproven') continue;
    for (const { mend } of sightings) if (mend !== undefined) commands.set(mend.add, mend.remove);
  }
  const open = openFacts(matrix, new Set(commands.keys()));
  const shown = open.slice(0, reasons);
  const hidden = open.length - shown.length;
  const lines = shown.flatMap(({ sentence, mend }) => [
    wrap(style, sentence),
    ...(mend === undefined ? [] : [wrap(style, mend, '  To prove it: ')]),
  ]);
  if (hidden > 0) lines.push(wrap(style, `${count(hidden, 'more reason')} why facts are unproven.`));
  // A command stays on one line, so that it can be copied.
  for (const [add, remove] of commands)
    lines.push(`To ask the rest:   ${cleanText(add, 400)}\nand afterwards:    ${cleanText(remove, 400)}\n`);
  for (const { vantage } of matrix.evidence) {
    // "kit" speaks of this laptop; what another place lacks stands on the page.
    if (vantage.from !== undefined) continue;
    const { ping, capture, arping } = vantage.abilities;
    const lacking = [
      ...(ping.able ? [] : ['ping']),
      ...(capture.able || arping.able ? [] : ['a capture program or arping']),
    ];
    if (lacking.length > 0)
      lines.push(
        wrap(
          style,
          `${cleanText(vantage.name)} lacks ${list(lacking, 8)}: "matchmark kit" says what that leaves open and how to fix it.`,
        ),
      );
  }
  return lines.join('');
}
