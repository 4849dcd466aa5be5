/** Results changed in places at random, and what must hold of everything that is made of them. */
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { expect } from 'vitest';
import { openOutput } from '../../src/cli/output.js';
import { MatchmarkError } from '../../src/errors.js';
import type { Matrix } from '../../src/matrix/matrix.js';
import { matrixOf } from '../../src/matrix/read.js';
import { renderPage } from '../../src/page/render.js';
import { agentMessageSchema } from '../../src/remote/messages.js';
import { buildMatrix } from '../../src/result/build.js';
import { renderCsv, renderEquipmentCsv, renderFindingsCsv } from '../../src/result/csv.js';
import { renderSummary } from '../../src/terminal/summary.js';
import { judge } from '../../src/verdicts/judge.js';

const GOOD: unknown = JSON.parse(
  readFileSync(
    fileURLToPath(new URL('../../fixtures/results/harbour-library.json', import.meta.url)),
    'utf8',
  ),
);

interface Change {
  readonly steps: readonly number[];
  readonly put: unknown;
}

const MARK = '<img src=x onerror=alert(1)>';
const VALUES: readonly unknown[] = [
  '',
  MARK,
  `</script></style></title>${MARK}`,
  '\u001b]0;owned\u0007\u001b[2J\u202e',
  '=HYPERLINK("http://host.example")',
  '__proto__',
  'x'.repeat(5_000),
  '\ud800',
  0,
  -1,
  1e308,
  1e-7,
  null,
  true,
  [],
  {},
  [[]],
];

const changes: fc.Arbitrary<Change[]> = fc.array(
  fc.record({
    steps: fc.array(fc.nat(1_000), { minLength: 2, maxLength: 9 }),
    // Markup more often than the rest.
    put: fc.oneof(fc.constant(MARK), fc.constantFrom(...VALUES)),
  }),
  { minLength: 1, maxLength: 4 },
);

/** Each change walks down by its steps and puts its value where it ends; strings are mostly given strings, so that much stays readable. */
function changed(value: unknown, all: readonly Change[]): unknown {
  const copy: unknown = structuredClone(value);
  for (const { steps, put } of all) {
    let here = copy;
    for (const step of steps) {
      if (typeof here !== 'object' || here === null) break;
      const keys = Object.keys(here);
      const key = keys[step % Math.max(1, keys.length)];
      if (key === undefined) break;
      const inner = (here as Record<string, unknown>)[key];
      if (typeof inner === 'object' && inner !== null && step !== steps.at(-1)) {
        here = inner;
        continue;
      }
      if (typeof inner === typeof put || step % 4 === 0) (here as Record<string, unknown>)[key] = put;
      break;
    }
  }
  return copy;
}

/** Nothing acts where it is shown: no markup, no terminal sequence, no formula, no row of another width. */
function expectHarmless(matrix: Matrix): { readonly marked: boolean } {
  const page = renderPage(matrix);
  expect(page).not.toContain('<img');
  expect(page.match(/<script\b/g)?.length).toBe(page.match(/<\/script>/g)?.length);
  expect(page).not.toMatch(/[\u202a-\u202e\u2066-\u2069\u001b\u0007]/u);
  for (const csv of [renderCsv(matrix), renderFindingsCsv(matrix), renderEquipmentCsv(matrix)]) {
    const rows: string[][] = parse(csv, { bom: true });
    // One expectation a table: a thousand cells of their own took half of the time.
    expect(rows.flat().filter((cell) => /^[=@]|[\u001b\u0007]/.test(cell))).toEqual([]);
  }
  let shown = '';
  const sink = {
    write: (text: string) => {
      shown += text;
    },
    isTTY: true,
  };
  openOutput(sink).write(renderSummary(matrix, { width: 80, colour: false, unicode: true }));
  expect(shown).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202a-\u202e]/u);
  return { marked: page.includes('&lt;img src=x') };
}

/** `readable`: how many of the changed results could be read, and so were rendered. `marked`: on how many pages markup stood as text. */
export function resultsRenderWell(
  numRuns: number,
  seed: number,
): { readonly readable: number; readonly marked: number } {
  let readable = 0;
  let marked = 0;
  fc.assert(
    fc.property(changes, (all) => {
      let matrix: Matrix;
      try {
        matrix = matrixOf(changed(GOOD, all), 'fuzzed');
      } catch (error) {
        expect(error).toBeInstanceOf(MatchmarkError);
        return;
      }
      readable += 1;
      if (expectHarmless(matrix).marked) marked += 1;
    }),
    { numRuns, seed },
  );
  return { readable, marked };
}

/** What a place sends back: refused as a whole, or judged and rendered like what the laptop saw itself. */
export function messagesEndWell(numRuns: number, seed: number): { readonly taken: number } {
  const good = matrixOf(GOOD, 'good');
  const [evidence] = good.evidence;
  const plan = { ...good.plan.model, snmp: {} };
  let taken = 0;
  fc.assert(
    fc.property(changes, (all) => {
      const message = agentMessageSchema.safeParse({ kind: 'evidence', evidence: changed(evidence, all) });
      if (!message.success || message.data.kind !== 'evidence') return;
      taken += 1;
      const seen = [message.data.evidence];
      const judgement = judge(plan, seen, { review: [] });
      expectHarmless(buildMatrix({ run: good.run, plan, evidence: seen, judgement }));
    }),
    { numRuns, seed },
  );
  return { taken };
}
