/** The one door to the terminal (issue 13.7). */

import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { openOutput } from '../../src/cli/output.js';
import { ink } from '../../src/terminal/style.js';
import { printable } from '../../src/text/clean.js';

function door(isTTY: boolean) {
  const kept: string[] = [];
  const output = openOutput({ write: (text) => kept.push(text), isTTY });
  return { output, text: () => kept.join('') };
}

/** Title (OSC 0), link (OSC 8), clear screen, hidden text, C1 CSI, right-to-left override, soft hyphen. */
const ACTING = [
  '\u001b]0;owned\u0007',
  '\u001b]8;;https://device.example\u0007x',
  '\u001b[2J',
  '\u001b[8m',
  '\u009b2J',
  '\u202e',
  '\u00ad',
  '\r',
  '\b',
];

describe.each([true, false])('on a terminal: %s', (isTTY) => {
  test.each(ACTING)('%j comes out as text', (sequence) => {
    const { output, text } = door(isTTY);
    output.write(`before ${sequence} after\n`);
    expect(text()).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u00ad\u202e]/);
    expect(text()).toMatch(/^before \\u00|^before \\u202e/);
    expect(text()).toMatch(/ after\n$/);
  });

  test('what is overwritten or redrawn is held to the same', () => {
    const { output, text } = door(isTTY);
    output.overwrite('a\u001b[2Jb');
    output.redraw(['c\u001b]0;d\u0007'], 2);
    expect(text()).toBe('\ra\\u001b[2Jb\u001b[K\u001b[2A\r\u001b[Jc\\u001b]0;d\\u0007\n');
  });
});

test('our own colours pass on a terminal, and on nothing else', () => {
  const coloured = `${ink({ width: 80, colour: true, unicode: true }, 'Stop', 'bold', 'red')}: x`;
  const terminal = door(true);
  terminal.output.write(coloured);
  expect(terminal.text()).toBe(coloured);
  const pipe = door(false);
  pipe.output.write(coloured);
  expect(pipe.text()).toBe(printable(coloured));
});

test('a document goes octet for octet into a pipe; on a terminal nothing of it acts', () => {
  const page = '\ufeff<p>\u202e\u0009</p>\r\n';
  const pipe = door(false);
  pipe.output.document(page);
  expect(pipe.text()).toBe(page);
  const terminal = door(true);
  terminal.output.document(page);
  expect(terminal.text()).not.toMatch(/[\ufeff\u202e\u0009\r]/);
});

test('nothing in the program writes past the door', () => {
  const src = fileURLToPath(new URL('../../src/', import.meta.url));
  const past = readdirSync(src, { recursive: true, encoding: 'utf8' })
    .map((name) => name.split(path.sep).join('/'))
    .filter((name) => name.endsWith('.ts'))
    .flatMap((name) => {
      const text = readFileSync(path.join(src, name), 'utf8').replace(/\/\*[\s\S]*?\*\/|\/\/.*$/gm, '');
      const found = text.match(
        /\bprocess\.std(?:out|err)\b|\bconsole\.\w+\(|\b(?:openSync|writeSync)\([12]\b/g,
      );
      return (found ?? []).map((what) => `${name}: ${what}`);
    });
  // The door gets the streams from main; the net hears that one is lost.
  expect([...new Set(past)].sort()).toEqual([
    'cli/main.ts: process.stderr',
    'cli/main.ts: process.stdout',
    'cli/safety-net.ts: process.stderr',
    'cli/safety-net.ts: process.stdout',
    // Before there is a door: the program cannot start at all.
    'release/start.ts: process.stderr',
    // Another process, at another place: what it writes is read by us and goes through the door here.
    'remote/agent.ts: process.stdout',
    'remote/greeting.ts: process.stdout',
  ]);
});
