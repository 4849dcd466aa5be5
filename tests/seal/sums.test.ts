import { spawnSync } from 'node:child_process';
import { createHash } from 'node:crypto';
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import path from 'node:path';
import fc from 'fast-check';
import { describe, expect, it, onTestFinished } from 'vitest';
import { MatchmarkError } from '../../src/errors.js';
import { readSums, writeSums } from '../../src/seal/sums.js';

const SHA = 'a'.repeat(64);
const read = (text: string | Uint8Array): { path: string; sha256: string }[] =>
  readSums(typeof text === 'string' ? new TextEncoder().encode(text) : text, 'SHA256SUMS').map((file) => ({
    ...file,
  }));
const refusal = (text: string | Uint8Array): string => {
  try {
    read(text);
  } catch (error) {
    if (error instanceof MatchmarkError && error.code === 'result-invalid') return error.message;
    throw error;
  }
  return 'taken';
};

/** Names that a folder may hold and that have to survive a line of text. */
const ODD = [
  'plain.txt',
  '-rf',
  ' leading and trailing ',
  'line\nfeed',
  'back\\slash',
  '\\n is no line feed',
  'cr\r',
  '*star',
  'größe.txt',
  '棚',
  'tab\tand\u001b[31m',
];

describe('SHA256SUMS', () => {
  it('is read by sha256sum whatever the names, and is what sha256sum itself writes', () => {
    const at = mkdtempSync(path.join(tmpdir(), 'matchmark-sums-'));
    onTestFinished(() => rmSync(at, { recursive: true, force: true }));
    mkdirSync(path.join(at, 'deep'));
    const names = [...ODD, 'deep/line\nfeed'];
    for (const name of names) writeFileSync(path.join(at, name), name);
    const sums = writeSums(
      names.map((name) => ({ path: name, sha256: createHash('sha256').update(name).digest('hex') })),
    );
    const theirs = spawnSync('sha256sum', ['--', ...[...names].sort()], { cwd: at, encoding: 'utf8' });
    expect(theirs.stdout).toBe(sums);
    writeFileSync(path.join(at, 'SHA256SUMS'), sums);
    const told = spawnSync('sha256sum', ['-c', '--strict', '--quiet', 'SHA256SUMS'], {
      cwd: at,
      encoding: 'utf8',
    });
    expect(told).toMatchObject({ status: 0, stdout: '', stderr: '' });
    writeFileSync(path.join(at, 'line\nfeed'), 'other');
    expect(spawnSync('sha256sum', ['-c', '--status', 'SHA256SUMS'], { cwd: at }).status).toBe(1);
  });

  it('comes back as it was written', () => {
    const segment = fc
      .string({
        unit: fc.constantFrom('a', '\\', '\n', '\r', 'n', 'r', ' ', '*', 'é', '.', '-'),
        minLength: 1,
        maxLength: 9,
      })
      .filter(
        (name) => !name.split('\\').some((part) => part === '.' || part === '..') && !name.startsWith('\\'),
      );
    fc.assert(
      fc.property(fc.uniqueArray(segment, { minLength: 1, maxLength: 9 }), (names) => {
        const files = names.map((name) => ({ path: name, sha256: SHA }));
        expect(new Set(read(writeSums(files)).map((file) => file.path))).toEqual(new Set(names));
      }),
    );
  });

  it('takes the binary mark, and a last line without its end', () => {
    expect(read(`${SHA} *a`)).toEqual([{ path: 'a', sha256: SHA }]);
  });

  it.each([
    ['nothing', '', 'lists no file'],
    ['an empty line', `${SHA}  a\n\n${SHA}  b\n`, 'line 2'],
    ['no digest', 'hello\n', 'line 1'],
    ['a digest in capitals', `${SHA.toUpperCase()}  a\n`, 'line 1'],
    ['one blank', `${SHA} a\n`, 'line 1'],
    ['an unknown escape', `\\${SHA}  a\\tb\n`, 'an escape that nobody knows'],
    ['one name twice', `${SHA}  a\n${SHA}  a\n`, 'twice'],
    ['a way out', `${SHA}  ../a\n`, 'leads around'],
    ['a way out on Windows', `\\${SHA}  b\\\\..\\\\..\\\\a\n`, 'leads around'],
    ['a name from the root', `${SHA}  /etc/passwd\n`, 'not relative'],
    ['octets that are no text', Uint8Array.of(0xff, 0xfe), 'no text'],
  ])('refuses %s', (_name, text, why) => expect(refusal(text)).toContain(why));

  it('never fails but by saying what is wrong', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), (octets) => {
        expect(refusal(octets)).not.toBe('taken');
      }),
    );
  });
});
