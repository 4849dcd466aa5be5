/** Whatever the bytes, the readers end in a result or in issues; they never throw. */
import fc from 'fast-check';
import { expect, test } from 'vitest';
import { readAddressList } from '../../src/plan-file/address-list.js';
import { COLUMNS } from '../../src/plan-file/columns.js';
import { Issues } from '../../src/plan-file/issues.js';
import { readEquipmentText, readPlanText } from '../../src/plan-file/plan-text.js';
import { describeIssue } from '../../src/plan-file/wording.js';
import { load } from './helpers.js';

const RUNS = Number(process.env.FUZZ_RUNS ?? 200);

async function endsWell(read: (issues: Issues) => unknown): Promise<void> {
  const issues = new Issues();
  const result = await read(issues);
  const something = Array.isArray(result) ? result.length > 0 : result !== undefined;
  expect(something || issues.hasErrors).toBe(true);
  for (const issue of issues.all) {
    const line = describeIssue(issue);
    expect(line).not.toMatch(/[\u0000-\u001f\u007f-\u009f\u202a-\u202e]/u);
    expect(line.length).toBeLessThan(700);
  }
}

const word = fc.oneof(
  fc.constantFrom(
    '192.0.2.7/24',
    '2001:db8::7',
    'tbd',
    '',
    '10G',
    '9k',
    '00:00:5e:00:53:01',
    'https ssh',
    '010.0.0.1',
    '"',
    "'",
  ),
  fc.string({ unit: 'binary', maxLength: 20 }),
);

test('random bytes', async () => {
  await fc.assert(
    fc.asyncProperty(fc.uint8Array({ maxLength: 400 }), (bytes) =>
      endsWell((issues) => readAddressList(bytes, 'f', issues)),
    ),
    { numRuns: RUNS },
  );
});

test('random bytes behind the signature of a workbook', async () => {
  await fc.assert(
    fc.asyncProperty(fc.uint8Array({ maxLength: 400 }), (bytes) =>
      endsWell((issues) => readAddressList(Uint8Array.from([0x50, 0x4b, 3, 4, ...bytes]), 'f', issues)),
    ),
    { numRuns: RUNS },
  );
});

test('random cells under a true header', async () => {
  const table = fc.array(fc.array(word, { maxLength: COLUMNS.length + 2 }), { maxLength: 12 });
  await fc.assert(
    fc.asyncProperty(
      table,
      fc.constantFrom(',', ';', '\t'),
      fc.constantFrom('\n', '\r\n', '\r'),
      (rows, separator, end) => {
        const text = [COLUMNS.join(separator), ...rows.map((row) => row.join(separator))].join(end);
        return endsWell((issues) => readAddressList(Buffer.from(text), 'f', issues));
      },
    ),
    { numRuns: RUNS },
  );
});

const KEYS = [
  'plan',
  'site',
  'networks',
  'devices',
  'endpoints',
  'groups',
  'snmp',
  'observe',
  'availability',
  'name',
  'cidr',
  '__proto__',
  'constructor',
  'device',
  'port',
  'items',
  'equipment',
];
const tree = fc.letrec((tie) => ({
  node: fc.oneof(
    { depthSize: 'small' },
    word,
    fc.integer(),
    fc.boolean(),
    fc.constant(null),
    tie('list'),
    tie('map'),
  ),
  list: fc.array(tie('node'), { maxLength: 4 }),
  map: fc.dictionary(fc.oneof(fc.constantFrom(...KEYS), fc.string({ maxLength: 5 })), tie('node'), {
    maxKeys: 6,
  }),
})).node;

test('random trees with the keys of a plan', async () => {
  await fc.assert(
    fc.asyncProperty(tree, async (value) => {
      const text = JSON.stringify({ plan: 1, equipment: 1, ...Object(value) });
      await endsWell((issues) => readPlanText(text, 'f', issues));
      await endsWell((issues) => readEquipmentText(text, 'f', issues));
    }),
    { numRuns: RUNS },
  );
});

test('random text as YAML', async () => {
  const marks = fc.constantFrom(
    'plan: 1\n',
    '- ',
    ': ',
    '\n',
    '  ',
    '{',
    '}',
    '[',
    ']',
    '&a ',
    '*a',
    '|',
    '>',
    '?',
    '!!x ',
    '<<',
    '#',
    '---\n',
    '\t',
    '"',
    "'",
  );
  const text = fc.array(fc.oneof(marks, word), { maxLength: 30 }).map((parts) => parts.join(''));
  await fc.assert(
    fc.asyncProperty(text, (yaml) => endsWell((issues) => readPlanText(yaml, 'f', issues))),
    { numRuns: RUNS },
  );
});

test('a whole random plan through the loader', async () => {
  await fc.assert(
    fc.asyncProperty(
      tree,
      fc.array(fc.dictionary(fc.constantFrom(...COLUMNS), word, { minKeys: 3 }), { maxLength: 4 }),
      async (value, endpoints) => {
        const text = JSON.stringify({ plan: 1, ...Object(value), endpoints });
        const loaded = await load({ 'plan.json': text }, 'plan.json');
        expect(loaded.ok || loaded.issues.some((issue) => issue.level === 'error')).toBe(true);
      },
    ),
    { numRuns: Math.min(RUNS, 100) },
  );
});
