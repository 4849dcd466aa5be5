import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { MatchmarkError } from '../../src/errors.js';
import { MOST_FILES } from '../../src/seal/manifest.js';
import { readOldSeal } from '../../src/seal/old-seal.js';

const SHA = 'a'.repeat(64);
const FACTS = { sealedAt: '2030-01-02T03:04:05.000Z', version: '1' };
const sealWith = (...paths: string[]): string =>
  JSON.stringify({
    format: 'matchmark.seal/1',
    ...FACTS,
    files: paths.map((path) => ({ path, size: 1, sha256: SHA })),
  });
const refusal = (content: string): string => {
  try {
    readOldSeal(content, 'seal.json');
  } catch (error) {
    if (error instanceof MatchmarkError && error.code === 'result-invalid') return error.message;
    throw error;
  }
  return 'taken';
};

describe('reading a seal.json of an earlier version', () => {
  it('takes what the program wrote, names of all scripts included', () => {
    expect(refusal(sealWith('matrix.json', 'fotos/größe 7.jpg', '写真/棚.png', 'a..b', '...'))).toBe('taken');
  });

  it.each([
    ['out of the folder', '../secret', 'leads around'],
    ['out of it further in', 'a/../../b', 'leads around'],
    ['to the folder itself', 'a/./b', 'leads around'],
    ['with an empty part', 'a//b', 'leads around'],
    ['to a folder', 'a/', 'leads around'],
    ['from the root', '/etc/passwd', 'not relative'],
    ['from a drive', 'C:/b', 'not relative'],
    ['by back strokes', '..\\b', 'leads around'],
    ['with a NUL', 'a\0b', 'no text'],
    ['of half a character', 'a\ud800', 'no text'],
    ['of nothing', '', 'empty'],
    ['of great length', 'x'.repeat(4_000), 'too long'],
    ['of great depth', 'x/'.repeat(70).concat('x'), 'too deep'],
  ])('refuses a path %s', (_name, path, why) => {
    const said = refusal(sealWith('matrix.json', path));
    expect(said).toContain(why);
    expect(said).not.toMatch(/\p{Cc}/u);
  });

  it.each([
    ['no JSON', 'PK\u0003\u0004', 'not JSON'],
    ['another format', JSON.stringify({ format: 'matchmark.matrix/1' }), 'at format'],
    ['no file', sealWith(), 'at files'],
    ['one path twice', sealWith('a', 'a'), 'twice'],
    ['a digest that is none', sealWith('a').replace(SHA, 'A'.repeat(64)), 'SHA-256'],
    ['a size below nothing', sealWith('a').replace('"size":1', '"size":-1'), 'at files.0.size'],
    [
      'a signature of another kind',
      sealWith('a').replace('{', '{"signature":{"algorithm":"none","publicKey":"","value":""},'),
      'at signature.algorithm',
    ],
    [
      'nesting that would fill the stack',
      sealWith('a').replace('{', `{"x":${'['.repeat(200_000)}${']'.repeat(200_000)},`),
      'nested too deep',
    ],
    [
      'more files than a handover has',
      JSON.stringify({
        format: 'matchmark.seal/1',
        ...FACTS,
        files: Array.from({ length: MOST_FILES + 1 }, (_, at) => ({ path: `${at}`, size: 0, sha256: SHA })),
      }),
      'at files',
    ],
  ])('refuses %s', (_name, content, why) => {
    expect(refusal(content)).toContain(why);
  });

  it('signs for keys that it does not know, too', () => {
    const text = (content: string): string => new TextDecoder().decode(readOldSeal(content, 's').signed);
    expect(text(sealWith('a').replace('{', '{"later":1,'))).toContain('"later":1');
    expect(
      text(sealWith('a').replace('{', '{"signature":{"algorithm":"Ed25519","publicKey":"","value":""},')),
    ).toBe(text(sealWith('a')));
  });

  it('never fails but by saying what is wrong', () => {
    fc.assert(
      fc.property(fc.oneof(fc.string(), fc.json()), (content) => {
        expect(refusal(content)).not.toBe('taken');
      }),
    );
  });
});
