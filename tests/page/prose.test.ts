import { expect, test } from 'vitest';
import { prose } from '../../src/page/markup.js';

test('a name or an option is not broken over two lines; what a device said stays text', () => {
  expect(prose('on loft-switch-1 port 12: --only vault-1/A')).toBe(
    'on <span class="k">loft-switch-1</span> port 12: <span class="k">--only</span> <span class="k">vault-1/A</span>',
  );
  expect(prose('<b>"vault-1"</b>')).toBe('&lt;b&gt;&quot;<span class="k">vault-1</span>&quot;&lt;/b&gt;');
});

test('a name in any letters is kept whole', () => {
  expect(prose('auf büro-1')).toBe('auf <span class="k">büro-1</span>');
});

test('MACs and plain words stay as they are, and what is too long for a phone may break', () => {
  const long = `vault-${'9'.repeat(60)}`;
  for (const each of ['00:00:5e:00:53:01', 'answers', long]) expect(prose(each)).toBe(each);
});
