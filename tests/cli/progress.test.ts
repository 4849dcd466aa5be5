import { describe, expect, test } from 'vitest';
import { openOutput } from '../../src/cli/output.js';
import { barLine, progressView } from '../../src/cli/progress.js';
import type { Progress } from '../../src/run/observe.js';

function shown(isTTY: boolean, columns?: number, quiet = false) {
  let text = '';
  let now = 0;
  const output = openOutput({
    isTTY,
    columns,
    write: (more: string) => {
      text += more;
    },
  });
  const view = progressView(output, () => now, quiet);
  return {
    at(milliseconds: number, phase: Progress['phase'], done: number, total = 100, answered = done) {
      now = milliseconds;
      text = '';
      view.show({ phase, done, total, answered });
      return text;
    },
    end() {
      text = '';
      view.end();
      return text;
    },
  };
}

describe('on a terminal', () => {
  test('a bar with counts and time left, redrawn on one line and cleared at the end', () => {
    const bar = shown(true, 120);
    expect(bar.at(0, 'asking', 0)).toBe(`\rAsking [${'.'.repeat(24)}] 0 of 100, 0 answered\u001b[K`);
    expect(bar.at(10_000, 'asking', 25, 100, 20)).toBe(
      `\rAsking [${'#'.repeat(6)}${'.'.repeat(18)}] 25 of 100, 20 answered, about 30 s left\u001b[K`,
    );
    expect(bar.at(40_000, 'asking', 100)).toBe(
      `\rAsking [${'#'.repeat(24)}] 100 of 100, 100 answered\u001b[K`,
    );
    expect(bar.end()).toBe('\r\u001b[K');
  });

  test('the time left of a phase is reckoned from that phase alone', () => {
    const bar = shown(true, 120);
    bar.at(0, 'looking', 0);
    bar.at(60_000, 'asking', 0);
    expect(bar.at(70_000, 'asking', 50)).toContain('about 10 s left');
  });

  test('redrawn at most every 80 ms, but at once for a new phase', () => {
    const bar = shown(true, 120);
    bar.at(0, 'asking', 0);
    expect(bar.at(79, 'asking', 1)).toBe('');
    expect(bar.at(80, 'asking', 2)).toContain('2 of 100');
    expect(bar.at(81, 'tables', 2)).toContain('Reading the tables');
  });

  test('never wider than the terminal, so that the line is not torn', () => {
    const line = shown(true, 40).at(0, 'tables', 10);
    expect(line.replace(/^\r|\u001b\[K$/g, '').length).toBeLessThan(40);
  });

  test.each([80, 60, 40, 20])('leaves parts out whole where the terminal has %i columns', (width) => {
    const progress = { phase: 'tables', done: 64, total: 128, answered: 60 } as const;
    const line = barLine(progress, 60_000, width);
    expect(line.length).toBeLessThanOrEqual(width);
    expect(line).toContain('64 of 128');
    const words = new Set(`${barLine(progress, 60_000)} arrays:`.split(/[ ,]+/));
    expect(line.split(/[ ,]+/).filter((word) => !words.has(word))).toEqual([]);
  });

  test('long waits in minutes; nothing to do is no division by nothing', () => {
    expect(barLine({ phase: 'asking', done: 10, total: 100, answered: 0 }, 60_000)).toContain(
      'about 9 min left',
    );
    expect(barLine({ phase: 'asking', done: 0, total: 0, answered: 0 }, 60_000)).toBe(
      `Asking [${'.'.repeat(24)}] 0 of 0, 0 answered`,
    );
  });
});

test('on a pipe: whole lines, one a phase and one every five seconds, no control characters', () => {
  const plain = shown(false);
  expect(plain.at(0, 'looking', 0)).toBe('Finding out who is there: 0 of 100 addresses done, 0 answered\n');
  expect(plain.at(4999, 'looking', 10)).toBe('');
  expect(plain.at(5000, 'looking', 11)).toBe(
    'Finding out who is there: 11 of 100 addresses done, 11 answered\n',
  );
  expect(plain.at(5001, 'asking', 11)).toMatch(/^Asking: 11 of 100/);
  expect(plain.at(5002, 'done', 100)).toBe('');
  expect(plain.end()).toBe('');
});

test.each([true, false])('quiet says nothing (terminal: %s)', (isTTY) => {
  const quiet = shown(isTTY, 80, true);
  expect(quiet.at(0, 'asking', 5) + quiet.end()).toBe('');
});
