import { describe, expect, test } from 'vitest';
import { printable } from '../../src/text/clean.js';
import { commandText, commandWord } from '../../src/text/command-word.js';

describe('printable', () => {
  test('keeps lines and their indentation and lets nothing act on a terminal (ECMA-48: ESC and C1 introduce sequences)', () => {
    expect(printable('  a\n  b')).toBe('  a\n  b');
    expect(printable('x\u001b]0;title\u0007\u009b2J\u202e')).toBe('x\\u001b]0;title\\u0007\\u009b2J\\u202e');
  });
});

describe('words of commands that people paste', () => {
  test('plain and spaced names stand as they are', () => {
    expect(commandWord('vault-1', 'DEVICE')).toBe('vault-1');
    expect(commandWord('loft switch', 'DEVICE')).toBe('"loft switch"');
    expect(commandText('vault-1/A', 'SUBJECT')).toBe('"vault-1/A"');
  });

  // POSIX.1-2017 XCU §2.2.3: $, ` and \ keep their meaning in double quotes; cmd expands %...%; PowerShell expands $(...).
  test.each(['$(reboot)', '`reboot`', 'a"; reboot; "', 'a\\', '%COMSPEC%', 'a!b', 'a”; reboot', 'a\nreboot'])(
    'a name that would act is not written: %j',
    (name) => {
      expect(commandWord(name, 'DEVICE')).toBe('DEVICE');
      expect(commandText(name, 'SUBJECT')).toBe('SUBJECT');
    },
  );

  test('a name that begins with a hyphen is quoted', () => expect(commandWord('-x', 'D')).toBe('"-x"'));
});
