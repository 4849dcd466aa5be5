/** A journal changed in whatever way: read as far as it is whole, or named as damaged; nothing else (issue 13.16). */
import { mkdirSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { expect, test } from 'vitest';
import { readRunJournal, writeRunJournal } from '../../src/cli/run-journal.js';
import { MatchmarkError } from '../../src/errors.js';
import { type Entry, gather } from '../../src/run/journal-entry.js';
import { mutate, randomFrom } from '../plan-file/mutations.js';
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
  { kind: 'presence', facts: { ownNeighbours: [], ownClaimed: [], proxyArp: [], notes: ['a note'] } },
  { kind: 'links', links: { device: 'vault-1', askedAt: '192.0.2.11', links: [] } },
  { kind: 'sighting', sighting: aSighting('192.0.2.12', { by: false }) },
];
const TEXT = [HEAD, ...ENTRIES].map((value) => `${JSON.stringify(value)}\n`).join('');

test('what was written is read, also when it was gone on with', async () => {
  const folder = folderWith({});
  const first = writeRunJournal(folder, HEAD, [], false);
  for (const entry of ENTRIES.slice(0, 2)) first.append(entry);
  first.close();
  const second = writeRunJournal(folder, HEAD, [], true);
  for (const entry of ENTRIES.slice(2)) second.append(entry);
  second.close();
  const read = await readRunJournal(folder);
  expect(read?.head).toEqual(HEAD);
  expect(read?.entries).toEqual(ENTRIES);
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
