/** Paper has no clicks: each link reads as what it leads to, by its number or its name (issue 5, "links as footnotes"). No source. */
import { expect, test } from 'vitest';
import { renderPage } from '../../src/page/render.js';
import { sampleMatrix } from '../support/sample-matrix.js';

const matrix = sampleMatrix();
const html = renderPage(matrix);
const words = (markup: string): string => markup.replace(/<[^>]*>/g, '');
const links = [...html.matchAll(/<a [^>]*?href="([^"]*)"[^>]*>(.*?)<\/a>/g)].map(
  ([, href = '', label = '']) => ({
    href,
    label: words(label),
  }),
);

/** What a reader of paper can look for: number of the job, endpoint, group, device, heading. */
function namesOf(href: string): readonly string[] {
  const number = Number(href.slice(2));
  const endpoint = matrix.endpoints[number - 1];
  const devices = [...new Set(matrix.endpoints.map(({ device }) => device))];
  if (/^#f\d+$/.test(href)) return [String(number)];
  if (/^#[ev]\d+$/.test(href)) return endpoint === undefined ? [] : [endpoint.id, endpoint.port];
  if (/^#g\d+$/.test(href)) return [matrix.groups[number - 1]?.name ?? ''];
  if (/^#d\d+$/.test(href)) return [devices[number - 1] ?? ''];
  if (href === '#appendix') return ['Appendix'];
  const heading = new RegExp(`<h2 id="${href.slice(1)}-h">(.*?)</h2>`).exec(html)?.[1];
  return heading === undefined ? [] : [words(heading)];
}

test('each link reads as the number or the name of what it leads to', () => {
  const own = links.filter(({ href }) => href !== '#main');
  expect(own.length).toBeGreaterThan(40);
  const nameless = own.filter(
    ({ href, label }) => !namesOf(href).some((name) => name !== '' && label.includes(name)),
  );
  expect(nameless).toEqual([]);
});
