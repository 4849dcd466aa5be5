import { expect, it } from 'vitest';
import { aboutSubjects } from '../../src/eyes/by-subject.js';

it('finds by subject without case, each once, and nothing else', () => {
  const list = [
    { subject: 'Vault-1', item: 'a' },
    { subject: 'vault-1 ', item: 'b' },
    { subject: 'vault-2', item: 'c' },
  ];
  const items = (...subjects: string[]) => aboutSubjects(list, subjects).map(({ item }) => item);
  expect(items('VAULT-1', 'vault-1')).toEqual(['a', 'b']);
  expect(items('vault-2', 'vault-1')).toEqual(['c', 'a', 'b']);
  expect(items('vault')).toEqual([]);
});
