import { describe, expect, test } from 'vitest';
import { renderPage } from '../../src/page/render.js';
import { renderSummary } from '../../src/terminal/summary.js';
import { hallMatrix } from '../support/hall-matrix.js';
import { aFinding } from '../support/matrix.js';
import { sampleMatrix } from '../support/sample-matrix.js';

const style = { width: 80, colour: false, unicode: true };
const matrix = sampleMatrix();

describe('terminal summary', () => {
  test('reads as it has always read', async () => {
    await expect(renderSummary(matrix, style)).toMatchFileSnapshot(
      '../../fixtures/results/harbour-library.txt',
    );
  });

  test('puts the outcome in the first line, then stop, fix, notes, then counts, groups and the reach', () => {
    const text = renderSummary(matrix, style);
    const at = (part: string): number => {
      const found = text.indexOf(part);
      expect(found, part).toBeGreaterThanOrEqual(0);
      return found;
    };
    const order = [
      at('Stop: 1 thing to make safe'),
      at('STOP   1. Two boxes on one address'),
      at('FIX    2.'),
      at('NOTE   6.'),
      at('= 5 matches'),
      at('Redundancy'),
      at('Seen from bench:'),
    ];
    expect(order).toEqual([...order].sort((a, b) => a - b));
    expect(order[0]).toBe(0);
  });

  test('kinds of things read as words, on the page too', () => {
    const groups = matrix.groups.map((group) => ({
      ...group,
      singlePoints: [{ kind: 'host-port', name: 'press-1/h0' }],
    }));
    expect(renderSummary({ ...matrix, groups }, { ...style, width: 200 })).toContain('host port press-1/h0');
    expect(renderPage({ ...matrix, groups })).toContain('host port <b>press-1/h0</b>');
  });

  const B = 'vault-1/B/data0';
  const chained = {
    ...matrix,
    findings: [
      ...matrix.findings,
      aFinding('service-missing', 'fix', B, `${B} is silent.`, {
        evidence: [
          `bench, 2030-01-02T03:04:05.678Z: ${B} is silent`,
          'bench, 2030-01-02T03:04:05.678Z: port 3260 accepts and says nothing',
          'second',
          'third',
        ],
      }),
      aFinding('path-missing', 'fix', B, 'The path is not there.', { about: [B], evidence: ['silent'] }),
      aFinding('observation-open', 'note', 'vault-1', 'power lamp: nobody has looked.'),
    ],
  };

  test('what follows from a fault is one line with the number of the fault', () => {
    const lines = renderSummary(chained, { ...style, width: 110 }).split('\n');
    const number = (part: string): string =>
      /(\d+)\. /.exec(lines.find((line) => line.includes(part)) ?? '')?.[1] ?? 'absent';
    const fault = number('A planned service is silent');
    expect(lines).toContain(
      `FIX  ${number('A planned path is not there').padStart(3)}. A planned path is not there: ${B}, follows from ${fault} (path-missing)`,
    );
    expect(lines.join('\n')).not.toContain('The path is not there.');
    const all = renderSummary(chained, { ...style, all: true });
    expect(all).toContain('The path is not there.');
    expect(all).toContain(`Follows from ${fault}.`);
  });

  test('evidence: two lines at most, none that the message already has; all of it on request', () => {
    const text = renderSummary(chained, style);
    expect(text).toContain('Seen: bench: port 3260 accepts and says nothing');
    expect(text).toContain('Seen: second');
    expect(text).not.toContain('Seen: third');
    expect(text.split(`${B} is silent`)).toHaveLength(2);
    const all = renderSummary(chained, { ...style, all: true });
    expect(all).toContain('Seen: third');
    expect(all).toContain('2030-01-02T03:04:05.678Z');
  });

  test('notes of a kind are one line', () => {
    const lines = renderSummary(chained, { ...style, width: 110 }).split('\n');
    const notes = lines.filter((line) => line.startsWith('NOTE'));
    expect(notes.map((line) => line.replace(/\d+/g, 'n'))).toEqual([
      'NOTE n-n. Nobody has looked yet: press-n and vault-n (observation-open)',
      'NOTE  n. An address nobody planned answers: n.n.n.n (stranger)',
    ]);
    expect(lines.join('\n')).not.toContain('power lamp: nobody has looked.');
  });

  test('at 60 columns text stands under the number, not beside it', () => {
    const lines = renderSummary(chained, { ...style, width: 60 }).split('\n');
    expect(lines.some((line) => /^ {5}\S/.test(line))).toBe(true);
    expect(lines.some((line) => /^ {10}Do:/.test(line))).toBe(false);
  });

  test('worst groups come first, with their single points', () => {
    const lines = renderSummary(matrix, style).split('\n');
    const groups = lines.filter((line) => /^ {2}[=!∅?] (redundant|at risk|lost|unproven)/.test(line));
    expect(groups.map((line) => line.trim().slice(0, 9))).toEqual(['∅ lost   ', '! at risk', '? unprove']);
    expect(renderSummary(matrix, style).replace(/\s+/g, ' ')).toContain(
      'vault-1 data: 2 of 4 live, needs 1; single point: switch loft-switch and network data-a',
    );
  });

  test('an availability stands where the plan states figures, in the words of the page, and nowhere else', () => {
    const text = renderSummary(matrix, { ...style, width: 1000 }).replace(/\s+/g, ' ');
    const html = renderPage(matrix);
    const words = 'as planned 99.9990%, as found 99.910%';
    expect(text.split('availability')).toHaveLength(2);
    expect(text).toContain(`availability ${words}`);
    expect(html.split('Availability from')).toHaveLength(2);
    expect(html).toContain(`Availability from the figures that the plan states: ${words}.`);
  });

  test('findings stand in the words of the page', () => {
    const html = renderPage(matrix);
    const text = renderSummary(matrix, { ...style, width: 1000, all: true }).replace(/\s+/g, ' ');
    for (const { message, advice } of matrix.findings) {
      expect(text).toContain(message.slice(0, 80));
      expect(text).toContain(`Do: ${advice.slice(0, 80)}`);
      expect(html).toContain(message);
      expect(html).toContain(advice);
    }
  });

  test.each([30, 40, 80, 132, 300])('at %i columns no line is longer', (width) => {
    for (const line of renderSummary(matrix, { ...style, width }).split('\n'))
      if (line.length >= width)
        expect([width, line.trim().includes(' ') ? line : 'one word']).toEqual([width, 'one word']);
  });

  test('without colour there is no escape; with colour the text is the same', () => {
    const plain = renderSummary(matrix, style);
    const coloured = renderSummary(matrix, { ...style, colour: true });
    expect(plain).not.toContain('\u001b');
    expect(coloured).toContain('\u001b[');
    expect(coloured.replace(/\u001b\[[\d;]*m/g, '')).toBe(plain);
  });

  test('an ASCII console gets ASCII alone, and still a sign beside each word', () => {
    const text = renderSummary(matrix, { ...style, unicode: false });
    expect(text).toMatch(/^[\x20-\x7e\n]*$/);
    expect(text).toContain('!= 3 differs');
    expect(text).toContain('- 1 missing');
  });

  test('a hundred of a kind are said once, with their number', () => {
    const hall = hallMatrix(900, 1);
    const text = renderSummary(hall, style);
    expect(text).toContain('and 95 more of this kind: A planned endpoint does not answer');
    expect(text.split('\n').length).toBeLessThan(90);
    const all = renderSummary(hall, { ...style, all: true });
    for (const { subject } of hall.findings) expect(all).toContain(subject);
  });

  test('a device cannot write to the terminal through a finding', () => {
    const attack = aFinding('stranger\u001b[2J', 'note', '\u001b]0;owned\u0007', 'x\u001b[31m\u202ey\r\nz', {
      advice: '\u009b31m',
      evidence: ['\u0000\b\b'],
    });
    const text = renderSummary({ ...matrix, findings: [attack] }, style);
    expect(text).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202a-\u202e]/);
    expect(text).toContain('\\u001b');
  });

  test.each([
    [{ stop: 0, fix: 0, unproven: 0 }, 'Ready to hand over'],
    [{ stop: 0, fix: 0, unproven: 2 }, 'Nothing found wrong, but not everything is proven.'],
    [{ stop: 0, fix: 2, unproven: 2 }, 'Not ready to hand over: 2 things to fix.'],
  ])('the outcome follows from the counts: %j', (counts, words) => {
    const summary = { ...matrix.summary, ...counts };
    expect(renderSummary({ ...matrix, summary, observations: [] }, style)).toContain(words);
  });

  test('a run that was cut short never reads as ready', () => {
    const run = { ...matrix.run, complete: false };
    const summary = { ...matrix.summary, stop: 0, fix: 0, unproven: 0 };
    const text = renderSummary({ ...matrix, run, summary, observations: [], findings: [] }, style);
    expect(text).not.toContain('Ready');
    expect(text).toContain('cut short');
  });
});
