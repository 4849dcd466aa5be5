import { expect, it } from 'vitest';
import { keyFileOf, keyProtection } from '../../src/cli/key-file.js';

it('calls the halves of a pair by one name, whichever was given', () => {
  for (const given of ['hale', 'hale.private', 'hale.public'])
    expect([keyFileOf(given, 'private'), keyFileOf(given, 'public')]).toEqual([
      'hale.private',
      'hale.public',
    ]);
  expect(keyFileOf('hale.key', 'public')).toBe('hale.key.public');
});

it('says what protects the private key on this system', () => {
  expect(keyProtection('k.private', 'linux', 'hale')).toContain('mode 600');
  // Microsoft Learn, "icacls": /inheritance:r removes what is inherited, /grant:r replaces what was granted.
  // The same line for cmd and PowerShell, which write variables in different ways.
  const windows = keyProtection('C:\\keys\\k.private', 'win32', 'Jürgen H.');
  expect(windows).toContain('icacls "C:\\keys\\k.private" /inheritance:r /grant:r "Jürgen H.:R"');
  expect(windows).not.toContain('600');
  expect(keyProtection('k$(calc).private', 'win32', '%PATH%')).toContain(
    'icacls FILE /inheritance:r /grant:r "USER:R"',
  );
});
