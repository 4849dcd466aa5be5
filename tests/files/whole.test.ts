/** Documents whole or not at all, half ones cleared, nothing followed (issue 13.10, 13.13). */
import {
  lstatSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  utimesSync,
  writeFileSync,
} from 'node:fs';
import path from 'node:path';
import { expect, test } from 'vitest';
import { jsonChunks } from '../../src/files/json-chunks.js';
import { clearLeftovers, isLeftover, partName } from '../../src/files/leftovers.js';
import { writeChunks, writeTogether, writeWhole } from '../../src/files/whole.js';
import { pageParts, renderPage } from '../../src/page/render.js';
import { folderWith } from '../cli/run.js';
import { sampleMatrix } from '../support/sample-matrix.js';

/** No process has it: the highest number that Linux gives is 2^22 (proc(5), pid_max). */
const NOBODY = 2 ** 22 + 1;

test('a link in the place of the document is replaced, and what it leads to stays as it was', async () => {
  const folder = folderWith({ 'elsewhere/kept.txt': 'kept' });
  symlinkSync(path.join(folder, 'elsewhere/kept.txt'), path.join(folder, 'matrix.json'));
  await writeWhole(path.join(folder, 'matrix.json'), 'new');
  expect(readFileSync(path.join(folder, 'elsewhere/kept.txt'), 'utf8')).toBe('kept');
  expect(lstatSync(path.join(folder, 'matrix.json')).isSymbolicLink()).toBe(false);
});

test('where making it fails half way, the old one stays and nothing is left beside it', async () => {
  const folder = folderWith({ 'matrix.json': 'old' });
  function* failing(): Generator<string> {
    yield 'half';
    throw new RangeError('cannot be made into text');
  }
  await expect(writeChunks(path.join(folder, 'matrix.json'), failing())).rejects.toThrow(RangeError);
  expect(readFileSync(path.join(folder, 'matrix.json'), 'utf8')).toBe('old');
  expect(readdirSync(folder)).toEqual(['matrix.json']);
});

test('two documents that speak of one thing: where one cannot be replaced the other stays as it was', async () => {
  // A folder in the place of the page stands for a page that another program holds.
  const folder = folderWith({ 'matrix.json': 'old', 'matrix.html/held': '' });
  const both = (): Promise<void> =>
    writeTogether([
      { file: path.join(folder, 'matrix.json'), chunks: () => ['new'] },
      { file: path.join(folder, 'matrix.html'), chunks: () => ['page of new'] },
    ]);
  await expect(both()).rejects.toMatchObject({ code: 'write-failed' });
  expect(readFileSync(path.join(folder, 'matrix.json'), 'utf8')).toBe('old');
  expect(readdirSync(folder).sort()).toEqual(['matrix.html', 'matrix.json']);

  rmSync(path.join(folder, 'matrix.json'));
  await expect(both()).rejects.toMatchObject({ code: 'write-failed' });
  expect(readdirSync(folder)).toEqual(['matrix.html']);

  rmSync(path.join(folder, 'matrix.html'), { recursive: true });
  await both();
  expect(readFileSync(path.join(folder, 'matrix.html'), 'utf8')).toBe('page of new');
  expect(readdirSync(folder).sort()).toEqual(['matrix.html', 'matrix.json']);
});

test('the second document is made when the first is written', async () => {
  const folder = folderWith({});
  const steps: string[] = [];
  await writeTogether(
    ['a', 'b'].map((name) => ({
      file: path.join(folder, name),
      chunks: function* () {
        steps.push(`${name} begun`);
        yield name;
        steps.push(`${name} taken`);
      },
    })),
  );
  expect(steps).toEqual(['a begun', 'a taken', 'b begun', 'b taken']);
});

test('what a killed run left is cleared; what a running one writes, and what others called alike, stays', async () => {
  const left = partName(NOBODY, '0123456789abcdef');
  const parent = partName(process.ppid, '0123456789abcdef');
  const old = partName(process.ppid, 'ffffffffffffffff');
  const folder = folderWith({
    [left]: 'half',
    [parent]: 'being written',
    [old]: 'two hours ago',
    [`matrix.json.part-${NOBODY}`]: 'half, of an older version',
    'matrix.json': 'whole',
    'photo.part-one.jpg': 'not ours',
  });
  const now = Date.now();
  utimesSync(path.join(folder, old), now / 1000 - 7200, now / 1000 - 7200);
  writeFileSync(path.join(folder, 'target'), 'kept');
  symlinkSync(path.join(folder, 'target'), path.join(folder, partName(NOBODY, 'aaaaaaaaaaaaaaaa')));
  await clearLeftovers(folder, now);
  expect(readdirSync(folder).sort()).toEqual([parent, 'matrix.json', 'photo.part-one.jpg', 'target'].sort());
});

test('the names of leftovers are known', () => {
  expect(isLeftover(partName(7, '0123456789abcdef'))).toBe(true);
  expect(isLeftover('matrix.json')).toBe(false);
});

test.each([
  [{ a: 1, b: [1, { c: [] }], d: {}, e: undefined, f: [undefined, null], 'g"': 'x\ny' }],
  [[]],
  [{}],
  [null],
  ['text'],
  [{ list: Array.from({ length: 3000 }, (_, index) => ({ index, deep: { er: [{ index }] } })) }],
  [{ at: new Date(0), nested: { at: new Date(1) } }],
])('JSON in parts is JSON: %#', (value) => {
  expect([...jsonChunks(value)].join('')).toBe(`${JSON.stringify(value, null, 1)}\n`);
});

test('a large value comes in many parts', () => {
  const parts = [...jsonChunks({ list: Array.from({ length: 5000 }, () => 'x'.repeat(100)) })];
  expect(parts.length).toBeGreaterThan(5);
  expect(Math.max(...parts.map(({ length }) => length))).toBeLessThan(200_000);
});

test('between the parts of a page Ctrl-C is heard while it is made and written', async () => {
  const file = path.join(folderWith({}), 'matrix.html');
  const matrix = sampleMatrix();
  let turns = 0;
  let timer = setImmediate(function again() {
    turns += 1;
    timer = setImmediate(again);
  });
  const turnsAt: number[] = [];
  const parts = function* () {
    for (const part of pageParts(matrix)) {
      turnsAt.push(turns);
      yield part;
    }
  };
  await writeChunks(file, parts());
  clearImmediate(timer);
  expect(readFileSync(file, 'utf8')).toBe(renderPage(matrix));
  // The matrix, the drawing and the evidence, the three that take long, each have a turn of others between them.
  expect(turnsAt.length).toBeGreaterThan(10);
  expect(new Set(turnsAt).size).toBe(turnsAt.length);
});
