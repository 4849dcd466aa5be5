import { describe, expect, it } from 'vitest';
import { titleOf } from '../../src/probe/http-title.js';
import { workMs } from '../support/work.js';

const bytes = (text: string) => Buffer.from(text, 'utf8');

describe('titleOf', () => {
  it.each([
    ['<TITLE lang=en>\n Vault 1\n</TITLE>', 'Vault 1'],
    ['<title>A &amp; B &lt;3 &#x2014; &uuml;</title>', 'A & B <3 — ü'],
    ['<title></title>', undefined],
    ['no page at all', undefined],
    ['<titles>no</titles>', undefined],
    // WHATWG HTML §13.2.5.2, RCDATA: only its own end tag ends a title.
    ['<title><script>alert(1)</script> vault</title><h1>no</h1>', '<script>alert(1)</script> vault'],
    ['<title>vault-1 con', 'vault-1 con'],
    // WHATWG HTML §13.2.5.80: what is no character becomes U+FFFD; names that HTML does not have stay as they are.
    ['<title>&#0;&#1114112;&unknown;</title>', '\ufffd\ufffd&unknown;'],
    // §13.5: the table of names; some of the old ones need no semicolon.
    ['<title>Gr&ouml;&szlig;e &eacute;&Lambda; &copy 1</title>', 'Größe éΛ © 1'],
    ['<title>&amp;lt; once, not twice</title>', '&lt; once, not twice'],
  ])('%j', (page, title) => {
    expect(titleOf(bytes(page), undefined)).toBe(title);
  });

  it('believes the page where the header is silent, and UTF-8 where both lie', () => {
    const page = Buffer.from('<meta charset="windows-1252"><title>Gr\u00f6\u00dfe</title>', 'latin1');
    expect(titleOf(page, 'text/html')).toBe('Größe');
    expect(titleOf(bytes('<title>Größe</title>'), 'text/html; charset=klingon')).toBe('Größe');
  });

  it('cuts a title that does not end within what was read, and tells its length', () => {
    expect(titleOf(bytes(`<title>${'A'.repeat(200_000)}`), undefined)).toBe(
      `${'A'.repeat(256)}… (cut, 200000 characters)`,
    );
  });

  it('stays quick on a page made to be slow', () => {
    const startedAt = workMs();
    titleOf(bytes('<title '.repeat(36_000)), undefined);
    titleOf(bytes(`<title>${'&'.repeat(250_000)}`), undefined);
    expect(workMs() - startedAt).toBeLessThan(1000);
  });
});
