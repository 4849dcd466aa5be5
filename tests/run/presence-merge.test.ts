import { expect, test } from 'vitest';
import { withLatest } from '../../src/run/presence-merge.js';
import { aClaim, aSighting, claimed, mac } from '../support/evidence.js';

test('a device that was heard in two ways keeps both claims, so that two answers to one question stay proven', () => {
  const early = aSighting('192.0.2.11', {
    presence: claimed([mac(1)], { claims: [aClaim(mac(1), { method: 'neighbour-table' })] }),
  });
  const claims = [
    aClaim(mac(1), { method: 'neighbour-table' }),
    aClaim(mac(1), { method: 'capture', count: 3 }),
    aClaim(mac(2), { method: 'capture', count: 3 }),
  ];
  const { presence } = withLatest(early, new Map([['192.0.2.11', claimed([mac(1), mac(2)], { claims })]]));
  expect(presence).toMatchObject({ outcome: 'claimed', claims });
});
