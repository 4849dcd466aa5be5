type Program = 'ping' | 'arping' | 'tcpdump';

/** Packages of Debian and its kin, of Fedora and its kin, in that order (their package lists, from memory for the second). */
const PACKAGES: Readonly<Record<Program, readonly [string, string]>> = {
  ping: ['iputils-ping', 'iputils'],
  arping: ['iputils-arping', 'iputils'],
  tcpdump: ['tcpdump', 'tcpdump'],
};

/** How to get a program on this system, in one line. */
export function installHint(platform: string, program: Program): string {
  if (platform === 'win32')
    return program === 'ping'
      ? 'ping is part of Windows: look in C:\\Windows\\System32'
      : 'there is no arping for Windows; a capture program does its work';
  if (platform === 'darwin')
    return program === 'arping'
      ? 'not needed on macOS: tcpdump does its work'
      : `${program} is part of macOS`;
  const [debian, fedora] = PACKAGES[program];
  return `sudo apt-get install ${debian} (Debian, Ubuntu) or sudo dnf install ${fedora} (Fedora)`;
}
