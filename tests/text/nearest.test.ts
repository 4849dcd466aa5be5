import { expect, test } from 'vitest';
import { nearestWord } from '../../src/text/nearest.js';

test.each([
  ['mgnt', ['mgmt', 'data-a'], 'mgmt'],
  ['NETWROK', ['network', 'note'], 'network'],
  ['controler', ['controller', 'port'], 'controller'],
  ['zebra', ['mgmt', 'data-a'], undefined],
  ['', ['mgmt'], undefined],
  ['data-c', ['data-a', 'data-b'], undefined],
  ['c', ['a'], undefined],
  ['dta', ['data', 'half'], 'data'],
])('%j among %j: %s', (word, candidates, nearest) => {
  expect(nearestWord(word, candidates)).toBe(nearest);
});
