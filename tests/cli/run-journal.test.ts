/** A journal changed in whatever way: read as far as it is whole, or named as damaged; nothing else (issue 13.16). */
import { mkdirSync, statSync, symlinkSync, truncateSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { expect, test } from 'vitest';
import { readRunJournal, writeRunJournal } from '../../src/cli/run-journal.js';
import { MatchmarkError } from '../../src/errors.js';
import { type Entry, gather, settled } from '../../src/run/journal-entry.js';
import { mutate, randomFrom } from '../plan-file/mutations.js';
import { links, lying } from '../sighting/lying-site.js';
import { aSighting, aVantage } from '../support/evidence.js';
import { folderWith } from './run.js';

const HEAD = {
  format: 'matchmark.journal/1',
  runId: 'x',
  startedAt: '2030-01-02T03:04:05.000Z',
  stage: 'configured',
  planFile: '/visits/plan.yaml',
  files: [{ name: 'plan.yaml', sha256: '0'.repeat(64) }],
} as const;
const ENTRIES: readonly Entry[] = [
  { kind: 'begun', vantage: aVantage(), at: HEAD.startedAt },
  { kind: 'sighting', sighting: aSighting('192.0.2.11', { answers: 'https' }) },
  { kind: 'sighting', sighting: aSighting('192.0.2.12', { by: false }) },
  { kind: 'presence', facts: { ownNeighbours: [], ownClaimed: [], proxyArp: [], notes: ['a note'] } },
  { kind: 'links', links: { device: 'vault-1', askedAt: '192.0.2.11', links: [] } },
];
const TEXT = [HEAD, ...ENTRIES].map((value) => `${JSON.stringify(value)}\n`).join('');

test('what was written is read, also when it was gone on with', async () => {
  const folder = folderWith({});
  const first = await writeRunJournal(folder, HEAD, [], false);
  for (const entry of ENTRIES.slice(0, 2)) first.append(entry);
  first.close();
  const second = await writeRunJournal(folder, HEAD, ENTRIES.slice(0, 2), true);
  for (const entry of ENTRIES.slice(2)) second.append(entry);
  second.close();
  const read = await readRunJournal(folder);
  expect(read?.head).toEqual(HEAD);
  expect(read?.entries).toEqual(ENTRIES);
});

test('gone on with twenty times it holds each thing once', async () => {
  const folder = folderWith({});
  for (let time = 0; time < 20; time += 1) {
    const earlier = (await readRunJournal(folder))?.entries ?? [];
    const journal = await writeRunJournal(folder, HEAD, earlier, time > 0);
    for (const entry of ENTRIES) journal.append(entry);
    journal.close();
  }
  expect(statSync(path.join(folder, '.matchmark-journal')).size).toBeLessThan(3 * TEXT.length);
  expect((await readRunJournal(folder))?.entries).toEqual(settled(ENTRIES));
});

test('what is gone on with is what a run keeps: each thing once, one device and all within their ceilings', async () => {
  const address = (n: number) => `198.18.${n >> 8}.${n & 255}`;
  const lies = Array.from(
    { length: 100 },
    (_, n): Entry => ({ kind: 'sighting', sighting: lying(address(n)) }),
  );
  const rows = Array.from(
    { length: 4 },
    (_, n): Entry => ({
      kind: 'links',
      links: links(`vault-${n}`, 3_000),
    }),
  );
  const entries = settled([...ENTRIES, ...lies, ...lies, ...rows]);
  const length = (kind: Entry['kind']) =>
    JSON.stringify(entries.filter((entry) => entry.kind === kind)).length;
  expect(length('sighting')).toBeLessThan(5_000_000);
  expect(length('links')).toBeLessThan(4 * 410_000);
  const { sightings } = gather(entries);
  expect(sightings).toHaveLength(102);
  expect(sightings[0]).toEqual(gather(ENTRIES).sightings[0]);
  // Read again it is not cut further.
  expect(settled(entries)).toEqual(entries);
});

test('the last word on an address counts', () => {
  const again = aSighting('192.0.2.11', { by: '00:00:5e:00:53:99' });
  const { sightings } = gather([...ENTRIES, { kind: 'sighting', sighting: again }]);
  expect(sightings.map(({ address }) => address)).toEqual(['192.0.2.11', '192.0.2.12']);
  expect(sightings[0]).toBe(again);
});

test('cut off anywhere it reads as far as it is whole', async () => {
  const folder = folderWith({});
  for (let length = 0; length < TEXT.length; length += 17) {
    writeFileSync(path.join(folder, '.matchmark-journal'), TEXT.slice(0, length));
    const read = await readRunJournal(folder);
    expect(read?.entries ?? []).toEqual(ENTRIES.slice(0, read?.entries.length ?? 0));
  }
});

test('500 changed ones', async () => {
  const folder = path.join(folderWith({}), 'run');
  mkdirSync(folder);
  const random = randomFrom(4711);
  let damaged = 0;
  for (let index = 0; index < 500; index += 1) {
    const text = mutate(TEXT, random);
    writeFileSync(path.join(folder, '.matchmark-journal'), text);
    try {
      const read = await readRunJournal(folder);
      if (read !== undefined) gather(read.entries);
    } catch (error) {
      expect(error, JSON.stringify(text)).toBeInstanceOf(MatchmarkError);
      expect(error).toMatchObject({ code: 'result-invalid', message: expect.stringContaining('is damaged') });
      damaged += 1;
    }
  }
  expect(damaged).toBeGreaterThan(50);
});

const LINES = [HEAD, ...ENTRIES].map((value) => JSON.stringify(value));

/** A journal of which line 3 is another; what `readRunJournal` says of it. */
async function damageOf(line: string): Promise<string> {
  const folder = folderWith({
    '.matchmark-journal': [...LINES.slice(0, 2), line, ...LINES.slice(2)].join('\n'),
  });
  return readRunJournal(folder).then(
    () => 'taken',
    (error: unknown) =>
      error instanceof MatchmarkError ? `${error.code}: ${error.message}` : `raw: ${error}`,
  );
}

test.each([
  ['no object', 'null', 'entry 2: '],
  ['a list that is nested without end', `${'['.repeat(200_000)}${']'.repeat(200_000)}`, 'entry 2: '],
  [
    'objects that are nested without end',
    `{"kind":"sighting","sighting":${'{"a":'.repeat(100_000)}1${'}'.repeat(100_000)}}`,
    'entry 2, sighting.address: ',
  ],
  ['a kind that there is not', '{"kind":"__proto__"}', 'entry 2, kind: '],
  [
    'a number where an address belongs',
    '{"kind":"sighting","sighting":{"address":7}}',
    'entry 2, sighting.address: ',
  ],
  ['a list where text belongs', '{"kind":"begun","at":[],"vantage":{"name":{}}}', 'entry 2, vantage.name: '],
])('a line that holds %s is named', async (_what, line, where) => {
  expect(await damageOf(line)).toMatch(/^result-invalid: .* is damaged: /);
  expect(await damageOf(line)).toContain(where);
});

test('a line that is longer than what a run keeps of one device is named, and no result is made of it', async () => {
  const facts = { ownNeighbours: [], proxyArp: [], notes: ['x'.repeat(5 * 1024 * 1024)] };
  expect(await damageOf(JSON.stringify({ kind: 'presence', facts }))).toContain(
    'is damaged: line 3 is longer than',
  );
});

test('names that objects have by themselves change nothing', async () => {
  expect(
    await damageOf(
      '{"kind":"presence","__proto__":{"kind":"links"},"facts":{"ownNeighbours":[],"proxyArp":[],"notes":[]}}',
    ),
  ).toBe('taken');
});

test('a journal of 3 GB, a folder or a device in its place is named unread', async () => {
  const folder = folderWith({ '.matchmark-journal': '' });
  truncateSync(path.join(folder, '.matchmark-journal'), 3 * 1024 ** 3);
  await expect(readRunJournal(folder)).rejects.toMatchObject({
    code: 'result-invalid',
    message: expect.stringContaining('is larger than'),
  });
  const beside = folderWith({});
  mkdirSync(path.join(beside, '.matchmark-journal'));
  await expect(readRunJournal(beside)).rejects.toMatchObject({
    code: 'result-invalid',
    message: expect.stringContaining('it is a folder'),
  });
  const linked = folderWith({});
  symlinkSync('/dev/zero', path.join(linked, '.matchmark-journal'));
  await expect(readRunJournal(linked)).rejects.toMatchObject({
    code: 'result-invalid',
    message: expect.stringContaining('no ordinary file'),
  });
});
