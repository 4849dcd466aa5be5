import { describe, expect, test } from 'vitest';
import { renderPage } from '../../src/page/render.js';
import { jobListOf } from '../../src/result/jobs.js';
import { outcomeOf } from '../../src/result/outcome.js';
import { renderSummary, SCREEN_LINES } from '../../src/terminal/summary.js';
import { hallMatrix } from '../support/hall-matrix.js';
import { aFinding } from '../support/matrix.js';
import { sampleMatrix } from '../support/sample-matrix.js';

const style = { width: 100, colour: false, unicode: true };
const matrix = sampleMatrix();
const linesOf = (text: string): string[] => text.split('\n').slice(0, -1);

describe('terminal summary', () => {
  test('reads as it has always read', async () => {
    await expect(renderSummary(matrix, style)).toMatchFileSnapshot(
      '../../fixtures/results/harbour-library.txt',
    );
  });

  test('puts the outcome in the first line, then jobs, notes, counts, groups, the reach, and how to prove what is open', () => {
    const text = renderSummary(matrix, style);
    const at = (part: string): number => {
      const found = text.indexOf(part);
      expect(found, part).toBeGreaterThanOrEqual(0);
      return found;
    };
    const order = [
      at(outcomeOf(matrix).headline.slice(0, 60)),
      at('STOP   1. Two '),
      at('FIX    2.'),
      at('NOTE   6.'),
      at('= 5 matches'),
      at('Redundancy'),
      at('Looked from bench:'),
      at('To prove it: add an address of data-b to the laptop'),
    ];
    expect(order).toEqual([...order].sort((a, b) => a - b));
    expect(order[0]).toBe(0);
  });

  test.each([80, 100, 200])('at %i columns a site of a dozen endpoints fits a screen', (width) => {
    expect(linesOf(renderSummary(matrix, { ...style, width })).length).toBeLessThanOrEqual(SCREEN_LINES);
  });

  test('a site of 900 endpoints fits a screen too; all of it stands in the report', () => {
    const hall = hallMatrix(900, 1);
    expect(linesOf(renderSummary(hall, style)).length).toBeLessThanOrEqual(SCREEN_LINES);
    const all = renderSummary(hall, { ...style, all: true });
    for (const { subject } of hall.findings) expect(all).toContain(subject);
  });

  test('kinds of things read as words, on the page too', () => {
    const groups = matrix.groups.map((group) => ({
      ...group,
      singlePoints: [{ kind: 'host-port', name: 'press-1/h0' }],
    }));
    expect(renderSummary({ ...matrix, groups }, { ...style, all: true })).toContain('host port press-1/h0');
    expect(renderPage({ ...matrix, groups })).toContain('host port press-1/h0');
  });

  const B = 'vault-1/B/data0';
  const fault = aFinding('service-missing', 'fix', B, `${B} is silent.`, {
    evidence: [
      `bench, 2030-01-02T03:04:05.678Z: ${B} is silent`,
      'bench, 2030-01-02T03:04:05.678Z: port 3260 accepts and says nothing',
    ],
  });
  const chained = {
    ...matrix,
    findings: [
      ...matrix.findings,
      fault,
      { ...aFinding('path-missing', 'fix', B, 'The path is not there.'), follows: [fault.id] },
    ],
  };

  test('what follows from a job is counted beside it, and written out in the report', () => {
    const job = jobListOf(chained.findings).jobs.find(({ finding }) => finding === fault);
    const line = linesOf(renderSummary(chained, { ...style, width: 110 })).find((each) =>
      each.includes('(service-missing)'),
    );
    expect(line).toContain(`FIX  ${String(job?.number).padStart(3)}. `);
    expect(line).toContain(`${B}; 1 more finding follows from it`);
    expect(renderSummary(chained, style)).not.toContain('The path is not there.');
    const all = renderSummary(chained, { ...style, all: true });
    expect(all).toContain(`Follows, ${job?.number}.1: `);
    expect(all).toContain('The path is not there.');
    expect(all).toContain('2030-01-02T03:04:05.678Z');
  });

  test('notes of a kind are one line', () => {
    const more = aFinding('observation-open', 'note', 'vault-1', 'power lamp: nobody has looked.');
    const text = renderSummary(
      { ...chained, findings: [...chained.findings, more] },
      { ...style, width: 110 },
    );
    const notes = linesOf(text).filter((line) => line.startsWith('NOTE'));
    expect(notes).toHaveLength(2);
    expect(notes[0]).toMatch(/^NOTE +\d+-\d+\. .*: press-1 and vault-1 \(observation-open\)$/);
    expect(text).not.toContain('power lamp: nobody has looked.');
  });

  test('worst groups come first, with what would end them and the job that they wait for', () => {
    const text = renderSummary(matrix, { ...style, all: true });
    const groups = linesOf(text).filter((line) => /^ {2}[=!×?] (redundant|at risk|lost|unproven)/.test(line));
    expect(groups.map((line) => line.trim().slice(0, 9))).toEqual(['× lost   ', '! at risk', '? unprove']);
    expect(text.replace(/\s+/g, ' ')).toContain(
      'vault-1 data: 2 of 4 paths work, 1 unproven, 1 needed; ends with switch loft-switch or network data-a',
    );
  });

  test('an availability stands where the plan states figures, in the words of the page, and nowhere else', () => {
    const text = renderSummary(matrix, { ...style, width: 1000, all: true }).replace(/\s+/g, ' ');
    const html = renderPage(matrix);
    const words = /availability (as planned [^;]*)/.exec(text)?.[1] ?? 'absent';
    expect(text.split('availability')).toHaveLength(2);
    expect(html.split('Availability, from')).toHaveLength(2);
    expect(html).toContain(`Availability, from the figures that the plan states: ${words.trim()}`);
  });

  test('the same sentences on the page', () => {
    // Names that are not to be broken over two lines stand in an element of their own.
    const html = renderPage(matrix).replace(/<span class="k">([^<]*)<\/span>/g, '$1');
    const text = renderSummary(matrix, { ...style, width: 1000, all: true }).replace(/\s+/g, ' ');
    const { headline } = outcomeOf(matrix);
    expect(html).toContain(headline);
    expect(text).toContain(headline);
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

  test('an ASCII console gets ASCII alone; missing, lost and nothing have signs of their own', () => {
    const text = renderSummary(matrix, { ...style, unicode: false });
    expect(text).toMatch(/^[\x20-\x7e\n]*$/);
    expect(text).toContain('!= 3 differs');
    expect(text).toContain('[] 1 missing');
    expect(text).toContain('x lost');
  });

  test('what differs has the colour of what is missing, as on paper', () => {
    const text = renderSummary(matrix, { ...style, colour: true });
    const inkOf = (words: string): string | undefined =>
      new RegExp(`\\u001b\\[(\\d+)m${words}`).exec(text)?.[1];
    expect(inkOf('≠ 3 differs')).toBe('31');
    expect(inkOf('∅ 1 missing')).toBe('31');
    expect(inkOf('\\? 3 unproven')).toBe('33');
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

  test('a run that was cut short never reads as ready', () => {
    const run = { ...matrix.run, complete: false };
    const text = renderSummary({ ...matrix, run, observations: [], findings: [] }, style);
    expect(text).not.toContain('Ready');
    expect(text).toContain('cut short');
  });
});
