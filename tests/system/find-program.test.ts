import { describe, expect, it } from 'vitest';
import { type Files, findProgram } from '../../src/system/find-program.js';

function files(
  there: Readonly<Record<string, boolean>>,
  folders: Readonly<Record<string, string[]>> = {},
): Files {
  const lower = new Map(Object.entries(there).map(([file, may]) => [file.toLowerCase(), may]));
  return { mayStart: (file) => lower.get(file.toLowerCase()), names: (folder) => folders[folder] ?? [] };
}

describe('on Windows', () => {
  const env = {
    Path: 'C:\\Windows\\system32;.;tools;"D:\\Werkzeug mit Leerzeichen"',
    PATHEXT: '.COM;.EXE;.BAT;.CMD;.VBS',
    SystemRoot: 'C:\\Windows',
    ProgramFiles: 'C:\\Program Files',
    'ProgramFiles(x86)': 'C:\\Program Files (x86)',
  };
  const find = (command: string, there: Files) =>
    findProgram(command, { platform: 'win32', env, files: there });

  it.each([
    ['ping', 'C:\\Windows\\System32\\ping.exe'],
    ['chcp', 'C:\\Windows\\System32\\chcp.com'],
    ['powershell.exe', 'C:\\Windows\\System32\\WindowsPowerShell\\v1.0\\powershell.exe'],
    ['thing', 'D:\\Werkzeug mit Leerzeichen\\thing.exe'],
  ])('finds %s in the system folders, or where PATH says, by the endings of PATHEXT', (command, place) => {
    expect(find(command, files({ [place]: true }))).toEqual({ path: place });
  });

  it('finds a capture program where it was installed, though it is not on the PATH', () => {
    const place = 'C:\\Program Files\\Mitschnitt\\dumpcap.exe';
    const installed = files({ [place]: true }, { 'C:\\Program Files': ['Other', 'Mitschnitt'] });
    expect(find('dumpcap', installed)).toEqual({ path: place });
  });

  it.each([
    ['a script for a shell', 'C:\\Windows\\System32\\tcpdump.cmd'],
    ['a program in the current folder', 'tcpdump.exe'],
    ['a program in a relative folder of the PATH', 'tools\\tcpdump.exe'],
  ])('does not take %s', (_what, place) => {
    expect(find('tcpdump', files({ [place]: true }))).toEqual({ why: 'not-found' });
  });

  it('tells one that this user may not start from one that is not there', () => {
    expect(find('arp', files({ 'C:\\Windows\\System32\\arp.exe': false }))).toEqual({ why: 'not-permitted' });
  });
});

describe('on Linux and macOS', () => {
  const find = (command: string, there: Files) =>
    findProgram(command, { platform: 'linux', env: { PATH: '/usr/bin:.:bin' }, files: there });

  it('looks on the PATH and where network programs are kept, not in the current folder', () => {
    expect(find('ip', files({ '/sbin/ip': true }))).toEqual({ path: '/sbin/ip' });
    expect(find('ip', files({ ip: true, 'bin/ip': true }))).toEqual({ why: 'not-found' });
    expect(find('/opt/x/ip', files({ '/opt/x/ip': true }))).toEqual({ path: '/opt/x/ip' });
  });

  it('goes on to another place where one may not be started', () => {
    expect(find('ip', files({ '/usr/bin/ip': false, '/sbin/ip': true }))).toEqual({ path: '/sbin/ip' });
    expect(find('ip', files({ '/usr/bin/ip': false }))).toEqual({ why: 'not-permitted' });
  });
});
