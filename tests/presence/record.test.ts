import { expect, test } from 'vitest';
import { addClaim, CLAIM_LIMIT, macsOf, newRecord } from '../../src/presence/record.js';

test('a flood of invented senders for one address is kept up to a limit, and known ones are counted on', () => {
  const record = newRecord('192.0.2.10', 'eth9');
  const mac = (index: number) =>
    `00:00:5e:00:${(index >> 8).toString(16).padStart(2, '0')}:${(index & 255).toString(16).padStart(2, '0')}`;
  for (let index = 0; index < 5_000; index += 1) addClaim(record, { mac: mac(index), method: 'capture' });
  addClaim(record, { mac: mac(0), method: 'capture' });
  expect(macsOf(record)).toHaveLength(CLAIM_LIMIT);
  expect([...record.claims.values()][0]).toMatchObject({ mac: mac(0), count: 2 });
});
