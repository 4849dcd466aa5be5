import { expect, test } from 'vitest';
import { COMMANDS } from '../../src/cli/commands.js';
import { commandsToTry } from '../../src/demo/stay.js';

test('what is offered are commands of the program, with names that a shell takes', () => {
  const names = COMMANDS.map(({ name }) => name);
  const lines = commandsToTry('first go', true).map(({ line }) => line);
  for (const line of lines) expect(names).toContain(line.split(' ')[0]);
  expect(lines.filter((line) => /(?<!["'/\w])first go/.test(line))).toEqual([]);
  expect(commandsToTry('', true).map(({ line }) => line)).toContain('follow plan.yaml');
});

test('where nobody else reaches the site, nothing that needs it is offered', () => {
  const lines = commandsToTry('demo', false).map(({ line }) => line.split(' ')[0]);
  expect(lines).not.toContain('follow');
  expect(lines).toContain('attest');
});
