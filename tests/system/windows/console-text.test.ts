import { describe, expect, it } from 'vitest';
import { codePageOf, decodeConsole } from '../../../src/system/windows/console-text.js';

const bytes = (hex: string): Uint8Array => Buffer.from(hex.replaceAll(' ', ''), 'hex');

// Bytes made by Python 3's codecs cp437, cp850, cp866, cp932, cp1252 and utf-8.
describe('text of the console', () => {
  it.each([
    [437, '52 82 70 6f 6e 73 65', 'Réponse'],
    [850, '52 82 70 6f 6e 73 65 ff 3a', 'Réponse\u00a0:'],
    [866, '8e e2 a2 a5 e2 20 ae e2', 'Ответ от'],
    [932, '82 a9 82 e7 82 cc 89 9e 93 9a', 'からの応答'],
    [1252, '5a 65 69 74 fc 62 65 72 73 63 68 72 65 69 74 75 6e 67', 'Zeitüberschreitung'],
    [65001, '52 c3 a9 70 6f 6e 73 65', 'Réponse'],
  ])('is read in code page %i', (codePage, hex, text) => {
    expect(decodeConsole(bytes(hex), codePage)).toBe(text);
  });

  it('is UTF-8 where it is valid UTF-8, whatever the console is set to', () => {
    expect(decodeConsole(Buffer.from('Réponse от からの'), 850)).toBe('Réponse от からの');
  });

  it.each([undefined, 12345])('loses no more than the letters it cannot read (code page %s)', (codePage) => {
    expect(decodeConsole(bytes('52 82 70 20 31 39 32'), codePage)).toBe('R\ufffdp 192');
  });
});

// English, German, Russian and Japanese from memory, and what the registry tool prints.
describe('the number of the code page', () => {
  it.each([
    ['Active code page: 437', 437],
    ['Aktive Codepage: 850.', 850],
    ['\x8c\xa4\xa9\xe1\xe2\xa2\xe3\xee\xe9\xa0\xef: 866', 866],
    ['\x8c\xbb\x8d\xdd: 932', 932],
    ['\r\nHKEY_LOCAL_MACHINE\\SYSTEM\\...\\CodePage\r\n    OEMCP    REG_SZ    850\r\n\r\n', 850],
    ['', undefined],
    ['no number', undefined],
  ])('stands at the end of %j', (text, number) => {
    expect(codePageOf(text)).toBe(number);
  });
});
