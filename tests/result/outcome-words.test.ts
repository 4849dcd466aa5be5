import { expect, test } from 'vitest';
import { noJobsSentence } from '../../src/result/outcome-words.js';
import { anEndpoint, aPlan } from '../support/evidence.js';
import { aFact } from '../support/facts.js';
import { aMatrix } from '../support/matrix.js';

const plan = aPlan({ endpoints: [anEndpoint('vault-1/A/mgmt', { address: '192.0.2.11' })] });
const said = (...states: ('matches' | 'unproven')[]): string =>
  noJobsSentence(
    aMatrix(plan, () => ({
      verdict: states.includes('matches') ? 'matches' : 'unproven',
      facts: states.map((state, index) => aFact(index === 0 ? 'address' : 'speed', state)),
    })),
  );

test('nothing to fix is said only where all was tested', () => {
  expect(said('matches', 'matches')).toBe('There is nothing to fix.');
  expect(said('matches', 'unproven')).toBe('Nothing to fix was found in what could be tested.');
  expect(said('unproven')).toBe('Nothing was tested, so it is not known what has to be fixed.');
});
