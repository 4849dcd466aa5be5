import { expect, test } from 'vitest';
import { siteMosaic } from '../../src/page/site-mosaic.js';
import { hallMatrix } from '../support/hall-matrix.js';

test('a rack stands whole under its name, however many squares there are', () => {
  // Thirteen devices a rack, eight ports a device: 1,024 ports fill ten racks.
  const { markup } = siteMosaic(hallMatrix(1024, 1), 260);
  const named = [...markup.matchAll(/<text class="name"[^>]*>([^<]*)</g)].map(([, name]) => name);
  expect(named).toEqual(Array.from({ length: 10 }, (_, index) => `rack R${index + 1}`));
  const lefts = [...markup.matchAll(/<text class="name" x="([\d.]+)" y="([\d.]+)"/g)].map(
    ([, x, y]) => `${x} ${y}`,
  );
  expect(new Set(lefts).size).toBe(10);
});

test('the key shows a missing port as the squares do: crossed', () => {
  const { markup } = siteMosaic(hallMatrix(256, 1), 260);
  const key = markup.slice(markup.indexOf('class="legend"'));
  expect(key).toMatch(/class="cross"[^>]*\/><\/svg> ∅/);
});
