import { expect, it } from 'vitest';
import { foldName, nameTroubles, troubleText } from '../../src/seal/spelling.js';

it('folds letter case and composed letters', () => {
  expect(foldName('Fotos/Gr\u00f6\u00dfe.JPG')).toBe(foldName('fotos/gro\u0308\u00dfe.jpg'));
  expect(foldName('a')).not.toBe(foldName('\u00e4'));
});

it('says which files would not arrive on another system as they are', () => {
  const kinds = (...paths: string[]): string[] => nameTroubles(paths).map(({ kind }) => kind);
  expect(kinds('matrix.json', 'photos/rack R3.jpg', 'console.txt', '.hidden', 'com10')).toEqual([]);
  expect(kinds('Rack.jpg', 'rack.JPG')).toEqual(['same-elsewhere']);
  // Microsoft Learn, "Naming Files, Paths, and Namespaces": device names with an extension too, a dot or blank at the end.
  for (const path of [
    'aux',
    'NUL.txt',
    'logs/com1.log',
    'lpt9',
    'a:b',
    'what?',
    'end.',
    'end ',
    'a\\b',
    'a\nb',
  ])
    expect([path, kinds(path)]).toEqual([path, ['refused-elsewhere']]);
  expect(nameTroubles(['nul', 'A', 'a']).map(troubleText)).toEqual([
    'A and a are one name on Windows and macOS: only one of them would be kept there.',
    '1 name that Windows refuses: nul.',
  ]);
});
