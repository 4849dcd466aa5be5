import { expect, test } from 'vitest';
import { commandQueue } from '../../src/drill/commands.js';

test('words, first letters and a bare Enter; without case; anything else is said to be unknown', () => {
  const queue = commandQueue();
  expect(['', 'n', 'NEXT ', ' s', 'skip', 'r', 'Repeat', 'a', 'abort'].map(queue.line)).toEqual(
    Array(9).fill('taken'),
  );
  expect(['x', 'skp', '2', '__proto__', 'constructor'].map(queue.line)).toEqual(Array(5).fill('unknown'));
  const taken = Array.from({ length: 10 }, () => queue.take());
  expect(taken).toEqual([
    'next',
    'next',
    'next',
    'skip',
    'skip',
    'repeat',
    'repeat',
    'abort',
    'abort',
    undefined,
  ]);
});

test('what waits is still taken after the pipe has ended', () => {
  const queue = commandQueue();
  queue.line('skip');
  queue.end();
  expect(queue.ended()).toBe(false);
  expect(queue.take()).toBe('skip');
  expect(queue.ended()).toBe(true);
});
