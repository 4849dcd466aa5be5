import { expect, it } from 'vitest';
import { notOnWindows } from '../../src/files/folder-name.js';

// learn.microsoft.com, "Naming Files, Paths, and Namespaces".
it.each([
  ['C:\\visit\\nul', '"nul" is a device on Windows'],
  ['C:\\visit\\CON\\run-1', '"CON" is a device'],
  ['C:\\visit\\com1.html', '"com1.html" is a device'],
  ['C:\\visit\\LPT²', '"LPT²" is a device'],
  ['C:\\visit\\what?', 'no name may have ? in it'],
  ['C:\\visit\\run 12:30', 'no name may have : in it'],
  ['C:\\visit\\a|b', 'no name may have | in it'],
  ['C:\\visit\\tab\there', 'no name may have such a character in it'],
  ['C:\\visit\\run.', 'may end with a dot'],
  ['C:\\visit\\run \\page', 'may end with a blank'],
  ['\\\\?\\C:\\visit\\aux', '"aux" is a device'],
])('%s is no place on Windows', (place, why) => {
  expect(notOnWindows(place, 'win32')).toContain(why);
});

it.each([
  'C:\\visit\\Übergabe Halle 3 – Größe\\run-1',
  '\\\\?\\C:\\visit\\run-1',
  '\\\\server\\share\\visit',
  'C:\\visit\\..\\console\\null\\com10\\lpt0\\contents.html',
  'C:/visit/run-1/',
  'run.1',
])('%s is one', (place) => {
  expect(notOnWindows(place, 'win32')).toBeUndefined();
});

it('elsewhere all of them are', () => {
  expect(notOnWindows('/visit/nul', 'linux')).toBeUndefined();
  expect(notOnWindows('/visit/12:30?', 'darwin')).toBeUndefined();
});
