import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { programs } from '../../../src/system/programs.js';
import { openPowershell } from '../../../src/system/windows/powershell.js';
import { fakePrograms, fakeShell } from '../fakes.js';

/** Stands in for PowerShell as a process: reads lines as they come, prints literals, echoes a prompt, and ends on a line that says so. */
const STAND_IN = `
import { createInterface } from 'node:readline';
process.stdout.write('\\ufeffPS C:\\\\> ');
for await (const line of createInterface({ input: process.stdin })) {
  if (line.includes('Stop-It')) process.exit(7);
  const asked = /^'([^']+)';try\\{(.*)\\}catch\\{\\};'([^']+)'$/.exec(line);
  if (asked === null) continue;
  process.stdout.write('a warning in the language of the user: ü\\r\\n');
  process.stdout.write(asked[1] + '\\r\\n' + asked[2].toUpperCase() + '\\r\\n');
  setTimeout(() => process.stdout.write(asked[3] + '\\r\\n'), 5);
}`;
let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'matchmark-shell-'));
  writeFileSync(join(folder, 'shell.mjs'), STAND_IN);
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

function standIn() {
  let starts = 0;
  const shell = openPowershell({
    ...programs,
    start: (command, _args, options) => {
      expect(command).toBe('powershell.exe');
      starts += 1;
      return programs.start(process.execPath, [join(folder, 'shell.mjs')], options);
    },
  });
  return { shell, starts: () => starts };
}

it('answers any number of questions by one process, each with its own answer alone', async () => {
  const { shell, starts } = standIn();
  const answers = await Promise.all(['get-one', 'get-two', 'get-three'].map((line) => shell.ask(line)));
  expect(answers).toEqual(['GET-ONE', 'GET-TWO', 'GET-THREE'].map((text) => ({ ok: true, text })));
  expect(await shell.ask('get-four')).toEqual({ ok: true, text: 'GET-FOUR' });
  expect(starts()).toBe(1);
});

it('says that it ended, and is not started again at every look', async () => {
  const { shell, starts } = standIn();
  expect(await shell.ask('Stop-It')).toEqual({ ok: false, reason: 'PowerShell ended with status 7' });
  expect(await shell.ask('get-one')).toEqual({ ok: false, reason: 'PowerShell ended with status 7' });
  expect(starts()).toBe(1);
});

it('says that it is not installed', async () => {
  const shell = openPowershell(fakePrograms({}));
  expect(await shell.ask('get-one')).toEqual({ ok: false, reason: 'PowerShell is not installed' });
});

it('is not started before it is asked', () => {
  const shell = fakeShell(() => '');
  openPowershell(fakePrograms({}, { 'powershell.exe': shell.start }));
  expect(shell.starts()).toBe(0);
});
