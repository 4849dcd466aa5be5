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
  expect(keyProtection('k.private', 'linux')).toContain('mode 600');
  // Microsoft Learn, "icacls": /inheritance:r removes what is inherited, /grant:r replaces what was granted.
  expect(keyProtection('k.private', 'win32')).toContain('icacls "k.private" /inheritance:r /grant:r');
  expect(keyProtection('k.private', 'win32')).not.toContain('600');
});
