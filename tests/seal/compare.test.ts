import { expect, it } from 'vitest';
import { compareSeal } from '../../src/seal/compare.js';

const file = (path: string, size = 1, digit = 'a') => ({ path, size, sha256: digit.repeat(64) });
const said = (...args: Parameters<typeof compareSeal>): string[] =>
  compareSeal(...args).differences.map(({ kind, path, detail }) => `${kind} ${path}: ${detail}`);

it('says nothing of a folder that is whole, in whichever order it was read', () => {
  expect(said([file('a'), file('b/c')], [file('b/c'), file('a')], [])).toEqual([]);
});

it('says each file that changed, is missing or was added, by path', () => {
  expect(
    said([file('a'), file('b'), file('c', 5)], [file('b', 1, 'b'), file('c', 6), file('d')], []),
  ).toEqual([
    'missing a: it was sealed and is not there',
    'changed b: as long as it was, and other content',
    'changed c: 5 octets when sealed, 6 now',
    'added d: it was not there when sealed',
  ]);
});

it('does not call a file missing that it could not read', () => {
  expect(
    said(
      [file('a'), file('deep/b')],
      [],
      [
        { path: 'a', why: 'cannot be read: permission denied' },
        { path: 'deep', why: 'cannot be read: permission denied' },
      ],
    ),
  ).toEqual([
    'unproven a: cannot be read: permission denied',
    'added deep: it cannot be read: permission denied',
    'unproven deep/b: its folder cannot be read: permission denied',
  ]);
});

it('says that a link came where nothing was', () => {
  expect(said([file('a')], [file('a')], [{ path: 'l', why: 'is a symbolic link' }])).toEqual([
    'added l: it is a symbolic link',
  ]);
});

it('takes a name in other letters of the same meaning for the same file, and says so', () => {
  // Unicode: U+00E4 is canonically equivalent to U+0061 U+0308.
  expect(compareSeal([file('Fotos/r\u00e4ck.jpg')], [file('fotos/ra\u0308ck.JPG')], [])).toEqual({
    differences: [],
    aside: [],
    respelt: [{ path: 'Fotos/r\u00e4ck.jpg', now: 'fotos/ra\u0308ck.JPG' }],
  });
  expect(said([file('A')], [file('a', 1, 'b')], [])).toEqual([
    'changed A: as long as it was, and other content',
  ]);
});

it('does not guess which of two is meant', () => {
  expect(said([file('A')], [file('a'), file('\u00c1'), file('b')], [])).toEqual([
    'added b: it was not there when sealed',
    'added \u00c1: it was not there when sealed',
  ]);
  expect(said([file('Ab')], [file('ab'), file('aB')], [])).toHaveLength(3);
});

it('lists what systems leave in folders, and finds no fault in it', () => {
  const compared = compareSeal(
    [file('a'), file('photos/Thumbs.db')],
    [file('a'), file('.DS_Store'), file('photos/thumbs.db', 9, 'c'), file('x/Desktop.ini')],
    [],
  );
  expect(compared.differences).toEqual([]);
  expect(compared.aside.map(({ path }) => path)).toEqual(['.DS_Store', 'photos/thumbs.db', 'x/Desktop.ini']);
});
